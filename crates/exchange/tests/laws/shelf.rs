//! The shelf as a table comes back as it went out; what cannot be taken is named by its cell.

use crate::studios::{any_shelf, id_of, small_shelf};
use calamine::{Data, Reader, Xlsx};
use exchange::{ShelfRow, Table, read_sheet, read_shelf, shelf_csv, shelf_workbook, sniff};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::io::Cursor;
use studio::{Kept, Money, Shelf, ShelfRecords, StockedPart, Units};

/// A shelf of two parts, one with a name that a spreadsheet would take for a formula.
fn shelf() -> Shelf {
    let plug = small_shelf().parts.remove(0);
    let tape = StockedPart {
        id: id_of(9_000_003),
        kind: bench::PartKind::HeadTape,
        name: "=HYPERLINK(\"x\")".to_owned(),
        diameter_m: None,
        length_m: None,
        mass_kg: Some(0.000_45),
        cost: None,
        low_at: 0,
        note: Some("roll, second drawer".to_owned()),
        removed: false,
    };
    let counts =
        [((plug.id.clone(), None), 3), ((plug.id.clone(), Some(7_800)), 2), ((tape.id.clone(), None), 120)];
    Shelf {
        parts: [plug, tape].map(|record| Kept { record, revision: 1 }).into(),
        counts: counts.into(),
        ..Shelf::default()
    }
}

fn read(text: &str) -> Result<Vec<ShelfRow>, Vec<String>> {
    rows_of(&sniff(text.as_bytes()).map_err(|error| vec![error.to_string()])?)
}

fn read_workbook(bytes: &[u8]) -> Result<Vec<ShelfRow>, Vec<String>> {
    let table = read_sheet(bytes, None).map_err(|problem| vec![problem.to_string()])?.into_table();
    rows_of(&table.map_err(|error| vec![error.to_string()])?)
}

fn rows_of(table: &Table) -> Result<Vec<ShelfRow>, Vec<String>> {
    let mut number = 0;
    read_shelf(table, Units::Metric, || {
        number += 1;
        id_of(number)
    })
    .map_err(|problems| problems.iter().map(ToString::to_string).collect())
}

#[test]
fn a_table_of_the_shelf_comes_back_as_it_went_out() {
    let shelf = shelf();
    let rows = read(&shelf_csv(&shelf)).unwrap();
    assert_eq!(rows.iter().map(|row| row.at_hand).collect::<Vec<_>>(), [Some(5), Some(120)]);
    for (row, kept) in rows.iter().zip(shelf.on_it()) {
        let StockedPart { id, diameter_m, length_m, .. } = row.part.clone();
        // inches to a thousandth: 0.6 in and 5 in come back to the last bit but one
        let near = |one: Option<f64>, other: Option<f64>| match (one, other) {
            (Some(one), Some(other)) => (one - other).abs() < 1e-12,
            (one, other) => one == other,
        };
        assert!(near(diameter_m, kept.record.diameter_m) && near(length_m, kept.record.length_m));
        let wanted = StockedPart { id, diameter_m, length_m, ..kept.record.clone() };
        assert_eq!(
            row.part.mass_kg.map(|mass| (mass * 1e9).round()),
            wanted.mass_kg.map(|mass| (mass * 1e9).round())
        );
        assert_eq!(StockedPart { mass_kg: wanted.mass_kg, ..row.part.clone() }, wanted);
    }
}

/// The shelf of records, each name once; nothing is put aside.
fn shelf_of(records: ShelfRecords) -> Shelf {
    let mut names = BTreeSet::new();
    let parts = records.parts.into_iter().filter(|part| part.removed || names.insert(part.name.clone()));
    let mut counts = BTreeMap::new();
    for moved in records.moves {
        *counts.entry((moved.part, moved.piece_mg)).or_insert(0) += moved.count;
    }
    Shelf { parts: parts.map(|record| Kept { record, revision: 1 }).collect(), counts, ..Shelf::default() }
}

/// An empty shelf after these rows were brought in.
fn brought_in(rows: Vec<ShelfRow>) -> Shelf {
    let counts = rows.iter().map(|row| ((row.part.id.clone(), None), row.at_hand.unwrap_or(0))).collect();
    let parts = rows.into_iter().map(|row| Kept { record: row.part, revision: 1 }).collect();
    Shelf { parts, counts, ..Shelf::default() }
}

proptest! {
    /// What the table brings in the workbook brings in, and refuses what it refuses.
    #[test]
    fn a_workbook_of_the_shelf_comes_back_as_its_table_does(records in any_shelf()) {
        let shelf = shelf_of(records);
        let lines = |problems: Vec<String>| problems.into_iter().map(|problem| problem.replace(" on the sheet \"Shelf\"", ""));
        let of_text = read(&shelf_csv(&shelf)).map_err(|problems| lines(problems).collect::<Vec<_>>());
        let of_sheet = read_workbook(&shelf_workbook(&shelf).unwrap()).map_err(|problems| lines(problems).collect());
        prop_assert_eq!(&of_sheet, &of_text);
    }

    #[test]
    fn a_workbook_goes_out_comes_in_and_goes_out_byte_for_byte(records in any_shelf()) {
        let mut shelf = shelf_of(records);
        // sizes a bench reads: what no part has is refused, as it is when it is typed
        for part in &mut shelf.parts {
            part.record.diameter_m = part.record.diameter_m.map(|metres| 0.01 + metres / 10.0);
        }
        let out = shelf_workbook(&shelf).unwrap();
        if shelf.on_it().is_empty() {
            prop_assert!(read_workbook(&out).is_err());
        } else {
            let rows = read_workbook(&out).map_err(|problems| TestCaseError::fail(problems.join("\n")))?;
            prop_assert!(shelf_workbook(&brought_in(rows)).unwrap() == out);
        }
    }
}

/// Read by another program's library: texts are texts, numbers numbers, and nothing is a formula.
#[test]
fn a_workbook_of_the_shelf_is_read_by_another_library() {
    let mut book = Xlsx::new(Cursor::new(shelf_workbook(&shelf()).unwrap())).unwrap();
    let range = book.worksheet_range("Shelf").unwrap();
    let row = |row: usize| range.rows().nth(row).unwrap().to_vec();
    assert_eq!(row(0)[..3], ["kind", "name", "diameter (in)"].map(|text| Data::String(text.to_owned())));
    assert_eq!(
        row(1)[..3],
        [Data::String("plug".to_owned()), Data::String("Plug 0.600".to_owned()), Data::Float(0.6)]
    );
    assert_eq!(row(1)[5..9], [Data::Float(3.5), Data::Float(5.0), Data::Float(0.0), Data::Float(2.0)]);
    assert_eq!(row(2)[1], Data::String("'=HYPERLINK(\"x\")".to_owned()));
    assert_eq!(row(2)[4], Data::Float(0.45));
    let formulas = book.worksheet_formula("Shelf").unwrap();
    assert!(formulas.used_cells().all(|(_, _, formula)| formula.is_empty()));
}

#[test]
fn a_spreadsheet_of_ones_own_is_read_by_its_headers() {
    let rows =
        read("Part;Kind;Core, mm;Weight g;Price;Stock;Colour\nSoft;GRIP;15,24;50;4,50;7;green\n").unwrap();
    assert_eq!(rows.len(), 1);
    assert_eq!((rows[0].part.name.as_str(), rows[0].at_hand), ("Soft", Some(7)));
    assert!((rows[0].part.diameter_m.unwrap() - 0.015_24).abs() < 1e-12);
    assert_eq!(rows[0].part.cost, Some(Money::cents(450)));
}

#[test]
fn what_cannot_be_taken_is_named_by_its_cell() {
    let problems = read(
        "kind,name,mass (g),at hand\nhammer,Big,NaN,-3\ngrip,,1e308,2\ngrip,Soft,50,1\ngrip,Soft,50,1\n",
    )
    .unwrap_err();
    let begin: Vec<&str> = problems.iter().map(|problem| problem.split(':').next().unwrap()).collect();
    assert_eq!(
        begin,
        [
            "line 2, column 1",
            "line 2, column 3",
            "line 2, column 4",
            "line 3, column 2",
            "line 3, column 3",
            "line 5, column 1"
        ],
        "{problems:?}"
    );
    assert!(read("name,cost\nSoft,1\n").unwrap_err()[0].contains("one column kind"));
    assert!(read("kind,kind,name\ngrip,grip,Soft\n").unwrap_err()[0].contains("one column kind, found 2"));
    let many =
        format!("kind,name\n{}", (0..901).map(|number| format!("grip,{number}\n")).collect::<String>());
    assert!(read(&many).unwrap_err()[0].contains("at most 900"));
}
