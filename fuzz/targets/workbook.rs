//! Any bytes taken for a workbook are read within the limits of a table or refused in words.
//!
//! What begins with none of an archive's bytes is taken for the parts of a workbook, one a line, so that the fuzzer reaches what
//! lies behind the archive and its checksums.
#![no_main]

use exchange::{LONGEST_CELL, MOST_COLUMNS, MOST_ROWS, is_workbook, read_sheet};
use libfuzzer_sys::fuzz_target;
use std::io::{Cursor, Write};
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

/// The parts that are read, by their names.
const PARTS: [&str; 6] = [
    "xl/worksheets/sheet1.xml",
    "xl/sharedStrings.xml",
    "xl/styles.xml",
    "xl/workbook.xml",
    "xl/_rels/workbook.xml.rels",
    "_rels/.rels",
];
/// What stands in them when a line says nothing.
const USUAL: [&str; 6] = [
    "",
    "<sst><si><t>Club</t></si><si><t>7 iron</t></si></sst>",
    "<styleSheet><cellXfs><xf numFmtId=\"0\"/><xf numFmtId=\"14\"/></cellXfs></styleSheet>",
    "<workbook><sheets><sheet name=\"Clubs\" r:id=\"r1\"/></sheets></workbook>",
    "<Relationships><Relationship Id=\"r1\" Type=\"x/worksheet\" Target=\"worksheets/sheet1.xml\"/></Relationships>",
    "<Relationships><Relationship Type=\"x/relationships/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>",
];

fuzz_target!(|bytes: &[u8]| {
    let packed;
    let book = if is_workbook(bytes) {
        bytes
    } else {
        packed = of_lines(bytes);
        &packed
    };
    for wanted in [None, Some("Clubs")] {
        match read_sheet(book, wanted) {
            Ok(sheet) => {
                for row in &sheet.rows {
                    assert!((1..=MOST_ROWS + 1).contains(&row.line) && row.cells.len() <= MOST_COLUMNS);
                    assert!(row.cells.iter().all(|cell| cell.chars().count() <= LONGEST_CELL));
                }
                if let Ok(table) = sheet.into_table() {
                    assert!(table.rows.iter().all(|row| row.cells.len() == table.header.cells.len()));
                }
            }
            Err(problem) => assert!(!problem.to_string().is_empty() && !problem.hint().is_empty()),
        }
    }
});

/// A workbook whose parts are these lines.
fn of_lines(bytes: &[u8]) -> Vec<u8> {
    let mut lines = bytes.split(|byte| *byte == b'\n');
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    let stored = SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for (name, usual) in PARTS.into_iter().zip(USUAL) {
        let part = lines.next().filter(|line| !line.is_empty()).unwrap_or(usual.as_bytes());
        writer.start_file(name, stored).expect("memory takes every file");
        writer.write_all(part).expect("memory takes every part");
    }
    writer.finish().expect("memory takes the archive").into_inner()
}
