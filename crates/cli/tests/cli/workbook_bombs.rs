//! Workbooks made to eat memory: each refused in its words by a process that is given less than 300 MB.

use crate::common::{in_little_memory, lengthwise, out};
use exchange::{Sheet, WorkbookProblem};
use std::io::{Cursor, Write};
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

const MAIN: &str = "xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\" \
                    xmlns:r=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships\"";
const ONE_CELL: &str = "<sheetData><row r=\"1\"><c r=\"A1\" t=\"s\"><v>0</v></c></row></sheetData>";
const MIB: usize = 1024 * 1024;
fn relations(id: &str, kind: &str, target: &str) -> String {
    format!(
        "<Relationships><Relationship Id=\"{id}\" \
         Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/{kind}\" Target=\"{target}\"/></Relationships>"
    )
}

/// A workbook of one sheet, with files beside it.
pub(crate) fn book(sheet: &str, beside: &[(&str, &[u8])]) -> Vec<u8> {
    let rels = relations("r0", "officeDocument", "xl/workbook.xml");
    let of_book = relations("r1", "worksheet", "worksheets/sheet1.xml");
    let workbook = format!(
        "<workbook {MAIN}><sheets><sheet name=\"Clubs\" sheetId=\"1\" r:id=\"r1\"/></sheets></workbook>"
    );
    let sheet = format!("<worksheet {MAIN}>{sheet}</worksheet>");
    let mut files: Vec<(&str, &[u8])> = vec![
        ("[Content_Types].xml", b"<Types/>"),
        ("_rels/.rels", rels.as_bytes()),
        ("xl/workbook.xml", workbook.as_bytes()),
        ("xl/_rels/workbook.xml.rels", of_book.as_bytes()),
        ("xl/worksheets/sheet1.xml", sheet.as_bytes()),
    ];
    files.extend(beside);
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        writer.start_file(name, SimpleFileOptions::default().compression_level(Some(1))).unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

/// Formats of cells that are just not too many and too long: the reader takes its time over them and then succeeds.
pub(crate) fn slow() -> Vec<u8> {
    let styles = format!(
        "<styleSheet><numFmts><numFmt numFmtId=\"200\" formatCode=\"{}\"/></numFmts><fonts><font><name val=\"{}\"/></font>\
         </fonts><cellXfs>{}</cellXfs></styleSheet>",
        "0".repeat(270),
        "a".repeat(290),
        "<xf fontId=\"0\" numFmtId=\"200\"/>".repeat(199_000)
    );
    book(
        "<sheetData><row r=\"1\"><c r=\"A1\" t=\"str\"><v>a</v></c></row></sheetData>",
        &[("xl/styles.xml", styles.as_bytes())],
    )
}

/// Reads a workbook as the studio has it read, with less memory.
fn read(bytes: &[u8]) -> Result<Sheet, WorkbookProblem> {
    assert!(bytes.len() <= exchange::LARGEST_TABLE, "{} bytes: a bomb is small", bytes.len());
    let output = in_little_memory("read-workbook", bytes);
    assert!(output.status.success(), "{:?}", output.status);
    serde_json::from_slice(&output.stdout).unwrap()
}

fn strings(inside: &str) -> Vec<u8> {
    book(ONE_CELL, &[("xl/sharedStrings.xml", format!("<sst>{inside}</sst>").as_bytes())])
}

#[test]
fn what_unpacks_to_too_much_is_counted_and_refused() {
    let zeros = vec![0; 51 * MIB];
    let large = book(ONE_CELL, &[("xl/media/a.bin", &zeros)]);
    let says = "expected a workbook of at most 50 MiB when unpacked, found more";
    assert_eq!(read(&large).unwrap_err().to_string(), says);
    // the same with headers that speak of ten bytes, which then have more behind them
    let size = u32::try_from(zeros.len()).unwrap().to_le_bytes();
    let places: Vec<usize> =
        large.windows(4).enumerate().filter(|(_, four)| *four == size).map(|(place, _)| place).collect();
    assert_eq!(places.len(), 2, "before the file, and in the list at the end");
    let mut lying = large;
    for place in places {
        lying[place..place + 4].copy_from_slice(&10_u32.to_le_bytes());
    }
    assert_eq!(read(&lying).unwrap_err().to_string(), "the workbook is damaged or cut off");
}

#[test]
fn what_is_too_many_is_refused() {
    let names: Vec<String> = (0..10_000).map(|number| format!("{number}")).collect();
    let files: Vec<(&str, &[u8])> = names.iter().map(|name| (name.as_str(), &b""[..])).collect();
    let format = |length: usize, uses: usize| {
        let code = "0".repeat(length);
        let uses = "<xf numFmtId=\"200\"/>".repeat(uses);
        let styles = format!(
            "<styleSheet><numFmt numFmtId=\"200\" formatCode=\"{code}\"/><cellXfs>{uses}</cellXfs></styleSheet>"
        );
        book(ONE_CELL, &[("xl/styles.xml", styles.as_bytes())])
    };
    let row = "<row>".to_owned() + &"<c t=\"s\"><v>0</v></c>".repeat(200) + "</row>";
    let many_times = book(
        &format!("<sheetData>{}</sheetData>", row.repeat(20)),
        &[("xl/sharedStrings.xml", format!("<sst><si><t>{}</t></si></sst>", "x".repeat(4_096)).as_bytes())],
    );
    let number = "<row>".to_owned() + &"<c><v>1</v></c>".repeat(200) + "</row>";
    let cells = format!("<sheetData>{}</sheetData>", number.repeat(2_501));
    for (bytes, says) in [
        (book(ONE_CELL, &files), "expected at most 200 files in a workbook, found 10005"),
        (
            strings(&"<si/>".repeat(4_000_000)),
            "expected at most 4000000 tags in a part of a workbook, found 4000002",
        ),
        (format(1, 300_000), "expected at most 200000 tags in a part of a workbook, found"),
        (format(4_000, 190_000), "expected at most 67108864 bytes in formats of cells, found"),
        (
            book(ONE_CELL, &[("xl/sharedStrings.xml", b"<sst uniqueCount=\"4000000000\"/>")]),
            "expected at most 500000 texts in a workbook, found 4000000000",
        ),
        (many_times, "expected at most 5242880 bytes in the texts of a sheet, found"),
        (book(&cells, &[]), "expected at most 500000 cells in a sheet, found 500001"),
    ] {
        let refused = read(&bytes).unwrap_err().to_string();
        assert!(refused.starts_with(says), "{refused}");
    }
}

#[test]
fn what_is_too_far_too_long_or_too_deep_is_refused() {
    let laughs = "<!DOCTYPE sst [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;\"><!ENTITY c \"&b;&b;&b;&b;&b;&b;&b;&b;\">]>\
                  <sst><si><t>&c;</t></si></sst>";
    let mut inner = ZipWriter::new(Cursor::new(Vec::new()));
    inner.start_file("a.zip", SimpleFileOptions::default()).unwrap();
    inner.write_all(&book(ONE_CELL, &[])).unwrap();
    let nested = inner.finish().unwrap().into_inner();
    let far = "expected a sheet of at most 20001 rows and 200 columns, found one up to XFD1048576";
    for (bytes, says) in [
        (book("<sheetData><row><c r=\"XFD1048576\"><v>1</v></c></row></sheetData>", &[]), far),
        (book("<dimension ref=\"A1:XFD1048576\"/><sheetData/>", &[]), far),
        (
            strings(&format!("<si><t>{}</t></si>", "x".repeat(49 * MIB))),
            "A1: expected at most 4096 characters in a cell, found more",
        ),
        (strings(&"<a>".repeat(3_900_000)), "the workbook is damaged or cut off"),
        (
            book(&("<sheetData>".to_owned() + &"<a>".repeat(1_500_000)), &[]),
            "the workbook is damaged or cut off",
        ),
        (
            book(ONE_CELL, &[("xl/sharedStrings.xml", laughs.as_bytes())]),
            "expected a workbook as spreadsheet programs write it, found entities declared in it",
        ),
        (nested, "expected a workbook (.xlsx), found a zip archive of other files"),
    ] {
        assert_eq!(read(&bytes).unwrap_err().to_string(), says);
    }
}

/// What is just taken stays below the memory too: as many texts, and formats as heavy, as may be.
#[test]
fn what_is_just_taken_is_read_in_the_same_memory() {
    assert_eq!(read(&slow()).unwrap().rows.len(), 1);
    let sheet = read(&strings(&"<si><t>a</t></si>".repeat(990_000))).unwrap();
    assert_eq!(sheet.rows[0].cells, ["a"]);
}

/// The process has a limit of its own, without the test's.
#[test]
fn a_sheet_is_written_to_standard_output_as_json() {
    let bytes = book("<sheetData><row r=\"2\"><c r=\"B2\"><v>37</v></c></row></sheetData>", &[]);
    let output = lengthwise(&["read-workbook", "--sheet", "Clubs"], &bytes);
    assert_eq!(
        out(&output),
        "{\"Ok\":{\"name\":\"Clubs\",\"others\":[],\"rows\":[{\"line\":2,\"cells\":[\"\",\"37\"]}]}}"
    );
}
