//! A workbook where a table of text is taken: the same answer, the sheet named, refusals in words.

use crate::common::{err, lengthwise, out};
use rust_xlsxwriter::Workbook;
use serde_json::Value;
use std::path::Path;

/// A workbook of sheets, each of rows; a cell that is a number is written as one.
pub(crate) fn workbook(sheets: &[(&str, &str)]) -> Vec<u8> {
    let mut book = Workbook::new();
    for (name, table) in sheets {
        let sheet = book.add_worksheet().set_name(*name).unwrap();
        for (row, line) in (0..).zip(table.lines()) {
            for (column, cell) in (0..).zip(line.split(',')) {
                match cell.parse::<f64>() {
                    Ok(number) => sheet.write_number(row, column, number).unwrap(),
                    Err(_) => sheet.write_string(row, column, cell).unwrap(),
                };
            }
        }
    }
    book.save_to_buffer().unwrap()
}

fn strikes() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../trial/tests/trials/open-1.csv");
    std::fs::read_to_string(path).unwrap()
}

fn refused(bytes: &[u8], more: &[&str]) -> String {
    let mut arguments = vec!["trial", "analyse", "-"];
    arguments.extend(more);
    let output = lengthwise(&arguments, bytes);
    assert_eq!(output.status.code(), Some(2), "{}", err(&output));
    assert!(err(&output).contains("Hint"), "{}", err(&output));
    err(&output).split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn strikes_on_a_sheet_give_the_answer_of_their_text() {
    let text = strikes();
    let book = workbook(&[("Strikes", &text), ("Notes", "nothing,here")]);
    let answer = |bytes: &[u8], more: &[&str]| -> Value {
        let mut arguments = vec!["trial", "analyse", "-", "--json"];
        arguments.extend(more);
        serde_json::from_str(&out(&lengthwise(&arguments, bytes))).unwrap()
    };
    let (mut of_text, of_sheet) = (answer(text.as_bytes(), &[]), answer(&book, &[]));
    assert_eq!(of_text["sheet"], Value::Null);
    of_text["sheet"] = "Strikes".into();
    assert_eq!(of_sheet, of_text);
    let other_way_round = workbook(&[("Notes", "nothing,here"), ("Strikes", &text)]);
    assert_eq!(answer(&other_way_round, &["--sheet", "Strikes"]), of_text);
    let told = out(&lengthwise(&["trial", "analyse", "-"], &book));
    assert!(told.contains("Read from the sheet \"Strikes\"."), "{told}");
    // its name tells nothing: a workbook called a text is a workbook
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("strikes.csv");
    std::fs::write(&path, &book).unwrap();
    let by_name = out(&lengthwise(&["trial", "analyse", path.to_str().unwrap()], b""));
    assert_eq!(by_name, told);
}

#[test]
fn a_refusal_names_the_sheet_and_the_cell() {
    let text = strikes().replacen("y_mm", "height", 1);
    for (bytes, more, says) in [
        (workbook(&[("Mine", &text)]), vec![], "sheet \"Mine\", expected the columns session, order"),
        (
            workbook(&[("Mine", "session,order,offset_in,x_mm,y_mm\n1,1,0.5,seven,1")]),
            vec![],
            "sheet \"Mine\", line 2, column x_mm: expected a number, found \"seven\"",
        ),
        (
            workbook(&[("Mine", "session")]),
            vec![],
            "expected a header and at least one row, found a header alone on the sheet \"Mine\"",
        ),
        (
            workbook(&[("Mine", "a"), ("Yours", "b")]),
            vec!["--sheet", "Ours"],
            "expected a sheet \"Ours\", found \"Mine\", \"Yours\"",
        ),
        (
            strikes().into_bytes(),
            vec!["--sheet", "Mine"],
            "expected a workbook with a sheet \"Mine\", found a table as text",
        ),
        (b"PK\x03\x04 and no more".to_vec(), vec![], "the workbook is damaged or cut off"),
    ] {
        let refused = refused(&bytes, &more);
        assert!(refused.contains(says), "{says}: {refused}");
    }
}
