//! Reading anybody's table: the same cells as another reader finds, a refusal, never a fall.

use exchange::{
    ClubRules, Column, Encoding, Source, Table, file_shape, guess_columns, read_clubs, sniff, unguarded,
};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use studio::{StudioError, Units};

fn any_name(_: &str) -> Result<(), StudioError> {
    Ok(())
}

/// Everything a page does with a table that was read.
fn use_it(table: &Table) {
    let guessed = guess_columns(table);
    assert_eq!(guessed.len(), table.header.cells.len());
    assert!(!file_shape(table).is_empty());
    let forced: Vec<Option<Column>> =
        [Column::ClubName, Column::from_key("length mm").unwrap()].map(Some).to_vec();
    for columns in [guessed, forced] {
        for units in [Units::Inches, Units::Metric] {
            let rules = ClubRules { units, owned: &["7 iron"], is_club: &any_name };
            match read_clubs(table, &columns, &rules) {
                Ok(clubs) => assert!(!clubs.is_empty()),
                Err(problems) => assert!(!problems.is_empty()),
            }
        }
    }
}

/// Pieces that matter to a reader of tables, over-weighted, between any text.
fn any_table_text() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        4 => select(vec![
            ",", ";", "\t", "|", "\"", "\"\"", "\r\n", "\n", "\r", "'", "'=", "Club", "Length (in)", "Lie", "7 iron", "37",
            "37,5", "½", "\u{feff}", " ",
        ])
        .prop_map(str::to_owned),
        1 => "\\PC{0,5}",
    ];
    vec(piece, 0..60).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn any_bytes_are_read_or_refused(bytes in vec(any::<u8>(), 0..400)) {
        if let Ok(table) = sniff(&bytes) {
            use_it(&table);
        }
    }

    #[test]
    fn any_text_in_any_encoding_is_read_or_refused(text in any_table_text(), encoding in 0..4) {
        let utf16 = |mark: [u8; 2], to: fn(u16) -> [u8; 2]| -> Vec<u8> {
            mark.into_iter().chain(text.encode_utf16().flat_map(to)).collect()
        };
        let bytes = match encoding {
            0 => utf16([0xff, 0xfe], u16::to_le_bytes),
            1 => utf16([0xfe, 0xff], u16::to_be_bytes),
            2 => format!("\u{feff}{text}").into_bytes(),
            _ => text.clone().into_bytes(),
        };
        match sniff(&bytes) {
            Ok(table) => {
                let Source::Text { encoding: read_as, .. } = table.source else { panic!("a text") };
                let found = match read_as {
                    Encoding::Utf16Le => 0..=0,
                    Encoding::Utf16Be => 1..=1,
                    Encoding::Utf8 => 2..=3,
                };
                prop_assert!(found.contains(&encoding));
                for row in &table.rows {
                    prop_assert_eq!(row.cells.len(), table.header.cells.len());
                }
                use_it(&table);
            }
            Err(error) => prop_assert!(!error.to_string().is_empty() && !error.hint().is_empty()),
        }
    }
}

proptest! {
    /// The same cells as a reader that many use finds, for tables written by the rules.
    #[test]
    fn a_well_written_table_is_read_as_by_another_reader(
        rows in vec(vec("(\\PC|\n|\r\n|\"|,|;){0,8}", 3), 2..8),
        separator in select(vec![b',', b';', b'\t', b'|']),
    ) {
        // a header of plain words, so that the separator can be told
        let mut writer = csv::WriterBuilder::new().delimiter(separator).quote_style(csv::QuoteStyle::Always).from_writer(Vec::new());
        writer.write_record(["Club", "Length", "Lie"]).unwrap();
        for row in &rows {
            writer.write_record(row).unwrap();
        }
        let bytes = writer.into_inner().unwrap();
        let is_empty = |row: &&Vec<String>| row.iter().all(|cell| cell.trim().is_empty());
        let wanted: Vec<Vec<String>> = rows
            .iter()
            .filter(|row| !is_empty(row))
            .map(|row| row.iter().map(|cell| unguarded(cell).to_owned()).collect())
            .collect();
        prop_assume!(!wanted.is_empty());
        let table = sniff(&bytes).unwrap();
        let Source::Text { separator: guessed, .. } = table.source else { panic!("a text") };
        prop_assert_eq!(guessed.sign(), char::from(separator));
        let found: Vec<Vec<String>> = table.rows.iter().map(|row| row.cells.clone()).collect();
        prop_assert_eq!(found, wanted);
    }

    /// The line of a row is the line an editor shows.
    #[test]
    fn a_row_is_named_by_the_line_it_begins_in(cells in vec("[a-z]{1,3}(\n[a-z]{1,3}){0,2}", 1..10), blank in 0_usize..3) {
        let mut text = "Club,Length\n".to_owned();
        let mut lines = Vec::new();
        for cell in &cells {
            text.push_str(&"\n".repeat(blank));
            lines.push(text.matches('\n').count() + 1);
            text.push_str(&format!("\"{cell}\",1\n"));
        }
        let found: Vec<usize> = sniff(text.as_bytes()).unwrap().rows.iter().map(|row| row.line).collect();
        prop_assert_eq!(found, lines);
    }
}
