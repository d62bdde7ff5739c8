//! Workbooks for the laws, written cell by cell, and archives that are almost one.

use rust_xlsxwriter::{Workbook, Worksheet};
use std::io::{Cursor, Write};
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

/// A workbook of one sheet.
pub(crate) fn workbook(write: impl FnOnce(&mut Worksheet)) -> Vec<u8> {
    let mut book = Workbook::new();
    write(book.add_worksheet());
    book.save_to_buffer().unwrap()
}

/// A workbook of one sheet whose cells are these texts.
pub(crate) fn of_texts(rows: &[&[&str]]) -> Vec<u8> {
    workbook(|sheet| {
        for (row, cells) in (0..).zip(rows) {
            for (column, text) in (0..).zip(*cells) {
                sheet.write_string(row, column, *text).unwrap();
            }
        }
    })
}

/// An archive of these files.
pub(crate) fn archive(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        writer.start_file(*name, SimpleFileOptions::default()).unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

/// A workbook as small as it can be, whose one sheet holds this in its `worksheet`.
pub(crate) fn of_xml(sheet: &str) -> Vec<u8> {
    of_book("<sheets><sheet name=\"Clubs\" sheetId=\"1\" r:id=\"r1\"/></sheets>", sheet)
}

/// The same, with what its `workbook` holds.
pub(crate) fn of_book(book: &str, sheet: &str) -> Vec<u8> {
    let relation = |id: &str, kind: &str, target: &str| {
        format!(
            "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\"><Relationship Id=\"{id}\" \
             Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/{kind}\" Target=\"{target}\"/>\
             </Relationships>"
        )
    };
    let main = "xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\" \
                xmlns:r=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships\"";
    let book = format!("<workbook {main}>{book}</workbook>");
    archive(&[
        ("[Content_Types].xml", b"<Types/>"),
        ("_rels/.rels", relation("r0", "officeDocument", "xl/workbook.xml").as_bytes()),
        ("xl/workbook.xml", book.as_bytes()),
        ("xl/_rels/workbook.xml.rels", relation("r1", "worksheet", "worksheets/sheet1.xml").as_bytes()),
        ("xl/worksheets/sheet1.xml", format!("<worksheet {main}>{sheet}</worksheet>").as_bytes()),
    ])
}
