//! Reading anybody's workbook: the same table as its text gives, a refusal in words, never a fall.

use crate::written_workbook::{archive, of_book, of_texts, of_xml, workbook};
use exchange::{
    ClubRules, Row, Sheet, Source, Table, WorkbookProblem, file_shape, guarded, guess_columns, is_workbook,
    read_clubs, read_sheet, sniff,
};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
use studio::{OwnedClub, Units};

fn table(bytes: &[u8]) -> Table {
    read_sheet(bytes, None).unwrap_or_else(|problem| panic!("{problem}")).into_table().unwrap()
}

fn refused(bytes: &[u8]) -> String {
    let problem = read_sheet(bytes, None).unwrap_err();
    assert!(!problem.hint().is_empty());
    problem.to_string()
}

fn cells(table: &Table) -> Vec<Vec<&str>> {
    table.rows.iter().map(|row| row.cells.iter().map(String::as_str).collect()).collect()
}

/// What a page shows of a table before anything is taken: its columns, then the clubs or what is wrong, by cell. The
/// lines of a text differ from the rows of a sheet where a cell holds several.
fn clubs(table: &Table) -> impl PartialEq + std::fmt::Debug {
    let columns = guess_columns(table);
    let rules = ClubRules { units: Units::Inches, owned: &["7 iron"], is_club: &OwnedClub::check_name };
    let read = read_clubs(table, &columns, &rules)
        .map(|clubs| clubs.into_iter().map(|club| (club.name, club.readings)).collect::<Vec<_>>())
        .map_err(|problems| problems.iter().map(|problem| problem.column).collect::<Vec<_>>());
    (columns, read)
}

/// A cell as it is typed: a number or a text.
#[derive(Debug, Clone)]
enum Typed {
    Number(f64),
    Text(String),
}

fn any_cell() -> impl Strategy<Value = Typed> {
    prop_oneof![
        2 => any::<f64>().prop_filter("a cell holds no other number", |number| number.is_finite()).prop_map(Typed::Number),
        1 => (-4000..4000_i32).prop_map(|quarters| Typed::Number(f64::from(quarters) / 4.0)),
        1 => Just(Typed::Text(String::new())),
        // what writers escape, trim or take for a formula, over-weighted
        2 => "[ '=+@\t\r\n_x0-9D\"&<>-]{0,10}".prop_map(Typed::Text),
        2 => "\\PC{0,12}".prop_map(Typed::Text),
        1 => select(vec!["7 iron", "8 iron", "PW", "36 1/2", "37,5", "62 deg"]).prop_map(|text| Typed::Text(text.to_owned())),
    ]
}

proptest! {
    #[test]
    fn a_sheet_gives_the_table_its_text_gives(rows in vec(vec(any_cell(), 3), 1..8)) {
        let mut csv = csv::Writer::from_writer(Vec::new());
        csv.write_record(["Club", "Length", "Lie"]).unwrap();
        let book = workbook(|sheet| {
            for (column, name) in (0..).zip(["Club", "Length", "Lie"]) {
                sheet.write_string(0, column, name).unwrap();
            }
            for (row, typed) in (1..).zip(&rows) {
                for (column, cell) in (0..).zip(typed) {
                    match cell {
                        Typed::Number(number) => {
                            sheet.write_number(row, column, *number).unwrap();
                            csv.write_field(number.to_string()).unwrap();
                        }
                        Typed::Text(text) => {
                            sheet.write_string(row, column, guarded(text)).unwrap();
                            csv.write_field(guarded(text)).unwrap();
                        }
                    }
                }
                csv.write_record(None::<&[u8]>).unwrap();
            }
        });
        let text = csv.into_inner().unwrap();
        match (sniff(&text), read_sheet(&book, None).unwrap().into_table()) {
            (Ok(of_text), Ok(of_sheet)) => {
                prop_assert_eq!(cells(&of_sheet), cells(&of_text));
                prop_assert_eq!(clubs(&of_sheet), clubs(&of_text));
                prop_assert_eq!(file_shape(&of_sheet), file_shape(&of_text));
                prop_assert_eq!(of_sheet.header, of_text.header);
                let source = Source::Sheet { name: "Sheet1".to_owned(), others: Vec::new() };
                prop_assert_eq!(of_sheet.source, source);
            }
            (Err(of_text), Err(of_sheet)) => {
                prop_assert_eq!(of_sheet.to_string(), format!("{of_text} on the sheet \"Sheet1\""));
            }
            (of_text, of_sheet) => prop_assert!(false, "{of_text:?}\n{of_sheet:?}"),
        }
    }

    /// One byte changed anywhere, or the end cut off: read or refused.
    #[test]
    fn a_damaged_workbook_is_read_or_refused(at in 0.0..1.0_f64, to in any::<u8>(), is_cut in any::<bool>()) {
        let mut bytes = of_texts(&[&["Club", "Length"], &["7 iron", "37"]]);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "a place in a small file")]
        let at = (at * bytes.len() as f64) as usize;
        if is_cut {
            bytes.truncate(at);
        } else {
            bytes[at] = to;
        }
        match read_sheet(&bytes, None) {
            Ok(sheet) => prop_assert!(!sheet.name.is_empty()),
            Err(problem) => prop_assert!(!problem.to_string().is_empty() && !problem.hint().is_empty()),
        }
        if is_cut {
            prop_assert!(read_sheet(&bytes, None).is_err());
        }
    }
}

#[test]
fn every_kind_of_cell_has_its_text() {
    let bytes = workbook(|sheet| {
        for (column, name) in (0..).zip(["number", "truth", "day", "moment", "formula", "words", "error"]) {
            sheet.write_string(0, column, name).unwrap();
        }
        let day = Format::new().set_num_format("yyyy-mm-dd");
        let moment = Format::new().set_num_format("yyyy-mm-dd hh:mm");
        sheet.write_number(1, 0, 0.1 + 0.2).unwrap();
        sheet.write_boolean(1, 1, true).unwrap();
        sheet.write_datetime_with_format(1, 2, ExcelDateTime::from_ymd(2026, 11, 3).unwrap(), &day).unwrap();
        let half_past_nine = ExcelDateTime::from_ymd(2026, 11, 3).unwrap().and_hms(9, 30, 0).unwrap();
        sheet.write_datetime_with_format(1, 3, half_past_nine, &moment).unwrap();
        sheet.write_formula(1, 4, Formula::new("=36+1").set_result("37")).unwrap();
        sheet.write_formula(1, 5, Formula::new("=\"7 \"&\"iron\"").set_result("7 iron")).unwrap();
        sheet.write_formula(1, 6, Formula::new("=1/0").set_result("#DIV/0!")).unwrap();
    });
    let read = table(&bytes);
    assert_eq!(
        cells(&read),
        [["0.30000000000000004", "TRUE", "2026-11-03", "2026-11-03T09:30:00", "37", "7 iron", "#DIV/0!"]]
    );
}

#[test]
fn rows_keep_their_numbers_and_gaps_their_columns() {
    let bytes = workbook(|sheet| {
        for (row, column, text) in
            [(2, 1, " Club "), (2, 3, "Length"), (5, 1, "7 iron"), (5, 3, "37"), (7, 1, "PW"), (8, 4, " ")]
        {
            sheet.write_string(row, column, text).unwrap();
        }
    });
    let read = table(&bytes);
    assert_eq!(read.header, Row { line: 3, cells: ["", "Club", "", "Length", ""].map(str::to_owned).into() });
    assert_eq!(cells(&read), [["", "7 iron", "", "37", ""], ["", "PW", "", "", ""]]);
    assert_eq!(read.rows.iter().map(|row| row.line).collect::<Vec<_>>(), [6, 8]);
}

#[test]
fn the_first_sheet_that_is_shown_is_read_or_the_one_that_is_named() {
    let mut book = Workbook::new();
    for (name, text) in [("Notes", "hidden"), ("Clubs", "first"), ("Old & done", "second")] {
        let sheet = book.add_worksheet().set_name(name).unwrap();
        sheet.write_string(0, 0, "Club").unwrap();
        sheet.write_string(1, 0, text).unwrap();
        if name == "Notes" {
            sheet.set_hidden(true);
        }
    }
    book.worksheet_from_name("Clubs").unwrap().set_active(true);
    let bytes = book.save_to_buffer().unwrap();
    let read = |wanted| {
        let Sheet { name, others, rows } = read_sheet(&bytes, wanted).unwrap();
        (name, others.len(), rows[1].cells[0].clone())
    };
    assert_eq!(read(None), ("Clubs".to_owned(), 2, "first".to_owned()));
    assert_eq!(read(Some("Old & done")), ("Old & done".to_owned(), 2, "second".to_owned()));
    assert_eq!(read(Some("Notes")).2, "hidden");
    assert_eq!(
        read_sheet(&bytes, Some("clubs")).unwrap_err().to_string(),
        "expected a sheet \"clubs\", found \"Notes\", \"Clubs\", \"Old & done\""
    );
}

#[test]
fn what_is_no_workbook_says_what_it_is() {
    let ods =
        archive(&[("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"), ("content.xml", b"<a/>")]);
    let compound = |stream: &str| {
        let mut bytes = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1".to_vec();
        bytes.resize(512, 0);
        bytes.extend(stream.encode_utf16().flat_map(u16::to_le_bytes));
        bytes
    };
    let whole = of_texts(&[&["Club"], &["7 iron"]]);
    let nested = archive(&[("inner.zip", &whole)]);
    let no_sheets = of_book("<sheets></sheets>", "");
    let letter = archive(&[
        ("[Content_Types].xml", b"<Types/>"),
        ("_rels/.rels", b"<Relationships><Relationship Id=\"a\" Type=\"x/relationships/officeDocument\" Target=\"word/document.xml\"/></Relationships>"),
        ("word/document.xml", b"<document/>"),
        ("word/_rels/document.xml.rels", b"<Relationships/>"),
    ]);
    for (bytes, says) in [
        (Vec::new(), "expected a workbook (.xlsx), found an empty file"),
        (b"Club,Length\n7 iron,37\n".to_vec(), "expected a workbook (.xlsx), found another file"),
        (ods, "expected a workbook (.xlsx), found an OpenDocument file (.ods)"),
        (
            archive(&[("[Content_Types].xml", b"<Types/>"), ("xl/workbook.bin", b"\x01")]),
            "expected a workbook (.xlsx), found a binary workbook (.xlsb)",
        ),
        (compound("Workbook"), "expected a workbook (.xlsx), found a workbook of the older kind (.xls)"),
        (compound("EncryptedPackage"), "expected an open workbook, found one that is locked with a password"),
        (nested, "expected a workbook (.xlsx), found a zip archive of other files"),
        (letter, "expected a workbook (.xlsx), found a zip archive of other files"),
        (no_sheets, "expected a sheet of cells, found none that is not hidden"),
        (whole[..whole.len() / 2].to_vec(), "the workbook is damaged or cut off"),
        (b"PK\x03\x04".to_vec(), "the workbook is damaged or cut off"),
    ] {
        assert_eq!(refused(&bytes), says);
    }
    assert!(is_workbook(&whole) && is_workbook(&compound("")) && !is_workbook(b"Club") && !is_workbook(b""));
}

#[test]
fn a_workbook_without_a_table_names_the_sheet() {
    let no_table =
        |rows: &[&[&str]]| read_sheet(&of_texts(rows), None).unwrap().into_table().unwrap_err().to_string();
    assert_eq!(
        no_table(&[]),
        "expected a header and at least one row, found nothing on the sheet \"Sheet1\""
    );
    assert_eq!(
        no_table(&[&["Club"]]),
        "expected a header and at least one row, found a header alone on the sheet \"Sheet1\""
    );
}

#[test]
fn a_cell_that_cannot_be_taken_is_named() {
    let one = |cell: &str| of_xml(&format!("<sheetData><row r=\"1\">{cell}</row></sheetData>"));
    for (bytes, says) in [
        (one("<c r=\"B1\"><f>SUM(1,2)</f></c>"), "B1: expected the value of its formula, found none"),
        (one("<c r=\"B1\"><f>SUM(1,2)</f><v></v></c>"), "B1: expected the value of its formula, found none"),
        (
            one("<c r=\"A1\"><v>1</v></c><c r=\"A1\"><v>2</v></c>"),
            "A1: expected each cell once, found it twice",
        ),
        (
            one("<c r=\"C1\"><v>inf</v></c>"),
            "C1: expected a number, a day or a time, found one that cannot be written",
        ),
        (
            one(&format!("<c r=\"A1\" t=\"str\"><v>{}</v></c>", "x".repeat(4_097))),
            "A1: expected at most 4096 characters in a cell, found more",
        ),
        (
            one("<c r=\"XFD1048576\"><v>1</v></c>"),
            "expected a sheet of at most 20001 rows and 200 columns, found one up to XFD1048576",
        ),
        (
            one("<c r=\"GS1\"><v>1</v></c>"),
            "expected a sheet of at most 20001 rows and 200 columns, found one up to GS1",
        ),
        (
            of_xml("<dimension ref=\"A1:A20002\"/><sheetData/>"),
            "expected a sheet of at most 20001 rows and 200 columns, found one up to A20002",
        ),
        (of_xml("<sheetData><row><c><v>1</v>"), "the workbook is damaged or cut off"),
    ] {
        assert_eq!(refused(&bytes), says);
    }
    // on the limits, and an empty text that a formula gave
    let last = one(
        "<c r=\"GR1\"><v>1</v></c><c r=\"A20001\"><v>2</v></c><c r=\"A1\" t=\"str\"><f>\"\"</f><v></v></c>",
    );
    let rows = read_sheet(&last, None).unwrap().rows;
    assert_eq!(
        rows.iter().map(|row| (row.line, row.cells.len())).collect::<Vec<_>>(),
        [(1, 200), (20_001, 1)]
    );
}

#[test]
fn the_apostrophe_before_a_formula_is_taken_away_once() {
    let read = table(&of_texts(&[&["Club", "'=x"], &["'-1/2 in", "''=1"], &["'tis", "=1+1"]]));
    assert_eq!(read.header.cells, ["Club", "=x"]);
    assert_eq!(cells(&read), [["-1/2 in", "'=1"], ["'tis", "=1+1"]]);
}

#[test]
fn a_refusal_goes_from_process_to_process_as_it_is() {
    let problem = read_sheet(&of_texts(&[&["a"]]), Some("b")).unwrap_err();
    let written = serde_json::to_string(&Err::<Sheet, _>(problem.clone())).unwrap();
    let read: Result<Sheet, WorkbookProblem> = serde_json::from_str(&written).unwrap();
    assert_eq!(read, Err(problem));
}
