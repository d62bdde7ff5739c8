//! A table from somebody's spreadsheet: read within limits, and told what it was read from.
//!
//! Here is the text of one, whose encoding and separator are found; the sheet of a workbook is [`crate::read_sheet`]'s.
//! The first row names the columns. Rows whose cells are all empty do not count. A cell beginning with an apostrophe
//! and a sign that can begin a formula loses the apostrophe, as [`crate::unguarded`] has it. Anything that cannot be read one
//! way is refused with its line.

mod cells;
mod encoding;
mod separator;
mod shape;
mod source;

pub use encoding::Encoding;
pub use separator::Separator;
pub use shape::file_shape;
pub use source::Source;
pub(crate) use source::quoted;

use crate::guard::unguarded;
use crate::{ExchangeError, RaggedRow};
use cells::Rows;
use serde::{Deserialize, Serialize};
use studio::HouseSettings;

/// Largest table that is read, bytes. Definition of what the tool takes.
pub const LARGEST_TABLE: usize = 5 * 1024 * 1024;
/// Most rows under the header. Definition of what the tool takes.
pub const MOST_ROWS: usize = 20_000;
/// Most columns. Definition of what the tool takes.
pub const MOST_COLUMNS: usize = HouseSettings::MOST_COLUMNS;
/// Longest cell, characters. Definition of what the tool takes.
pub const LONGEST_CELL: usize = 4_096;

/// A row and where it begins.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Row {
    /// Its first line in the file, or its row in the sheet, from 1.
    pub line: usize,
    /// Its cells.
    pub cells: Vec<String>,
}

impl Row {
    pub(crate) fn is_empty(&self) -> bool {
        self.cells.iter().all(|cell| cell.trim().is_empty())
    }
}

/// A table as it was read: every row has the columns of the header.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// What it was read from, and how.
    pub source: Source,
    /// The row that names the columns.
    pub header: Row,
    /// The rows under it, one at least.
    pub rows: Vec<Row>,
}

/// Reads a table of text.
///
/// # Errors
/// What is beyond the limits, no text, no table, or cannot be read one way; with its line.
pub fn sniff(bytes: &[u8]) -> Result<Table, ExchangeError> {
    if bytes.len() > LARGEST_TABLE {
        return Err(ExchangeError::TooMuch {
            what: "bytes in a table",
            most: LARGEST_TABLE,
            found: bytes.len(),
        });
    }
    let (encoding, text) = encoding::decode(bytes)?;
    let separator = Separator::guess(&text);
    Table::of_rows(Source::Text { encoding, separator }, Rows::new(&text, separator.sign()))
}

impl Table {
    /// Makes a table of rows that hold something: the first is the header.
    pub(crate) fn of_rows(
        source: Source,
        mut rows: impl Iterator<Item = Result<Row, ExchangeError>>,
    ) -> Result<Self, ExchangeError> {
        let no_rows = |found: &str, source: &Source| {
            ExchangeError::NoRows(match source {
                Source::Text { .. } => found.to_owned(),
                Source::Sheet { name, .. } => format!("{found} on the sheet \"{name}\""),
            })
        };
        let mut header = rows.next().transpose()?.ok_or_else(|| no_rows("nothing", &source))?;
        for cell in &mut header.cells {
            *cell = unguarded(cell.trim()).to_owned();
        }
        let rows = rows_under(rows)?;
        if rows.is_empty() {
            return Err(no_rows("a header alone", &source));
        }
        let expected = header.cells.len();
        let ragged: Vec<RaggedRow> = rows
            .iter()
            .filter(|row| row.cells.len() != expected)
            .map(|row| RaggedRow { line: row.line, columns: row.cells.len() })
            .collect();
        if !ragged.is_empty() {
            return Err(ExchangeError::Ragged { expected, rows: ragged });
        }
        Ok(Self { source, header, rows })
    }
}

fn rows_under(rows: impl Iterator<Item = Result<Row, ExchangeError>>) -> Result<Vec<Row>, ExchangeError> {
    let mut under = Vec::new();
    for row in rows {
        let mut row = row?;
        if under.len() == MOST_ROWS {
            return Err(ExchangeError::TooMuch {
                what: "rows in a table",
                most: MOST_ROWS,
                found: MOST_ROWS + 1,
            });
        }
        for cell in &mut row.cells {
            if unguarded(cell).len() < cell.len() {
                cell.remove(0);
            }
        }
        under.push(row);
    }
    Ok(under)
}

#[cfg(test)]
mod tests {
    use super::{Encoding, MOST_COLUMNS, MOST_ROWS, Separator, Source, Table, sniff};
    use crate::ExchangeError;

    fn table(text: &str) -> Table {
        sniff(text.as_bytes()).unwrap_or_else(|error| panic!("{text:?}: {error}"))
    }

    fn cells(table: &Table) -> Vec<Vec<&str>> {
        table.rows.iter().map(|row| row.cells.iter().map(String::as_str).collect()).collect()
    }

    fn refused(text: &str) -> String {
        sniff(text.as_bytes()).unwrap_err().to_string()
    }

    #[test]
    fn a_plain_table_is_read_with_its_lines() {
        let read = table("Club,Length (in)\r\n7 iron,37\r\n\r\n , \r\n\"8\niron\",36 1/2\r\nPW,\"35,5\"\r\n");
        assert_eq!(read.header.cells, ["Club", "Length (in)"]);
        let source = Source::Text { encoding: Encoding::Utf8, separator: Separator::Comma };
        assert_eq!(read.source, source);
        assert_eq!(cells(&read), [["7 iron", "37"], ["8\niron", "36 1/2"], ["PW", "35,5"]]);
        // lines 3 and 4 hold nothing; the cell that begins in line 5 ends in line 6
        assert_eq!(read.rows.iter().map(|row| row.line).collect::<Vec<_>>(), [2, 5, 7]);
    }

    #[test]
    fn the_separator_is_guessed_and_reported() {
        for (text, separator) in [
            ("Club;Length\n7 iron;37,5\n8 iron;37,0\n", Separator::Semicolon),
            ("Club\tLength\n7 iron\t37,5\n", Separator::Tab),
            ("Club|Length\n7 iron|37\n", Separator::Bar),
            ("Club, short;Length, in;Lie\n7 iron;37,5;62\n", Separator::Semicolon),
            ("\"Club\";\"Length\"\n\"7 iron\";\"37\"\n", Separator::Semicolon),
            ("Club,Note\n7 iron,a;b\n8 iron,c;d\n", Separator::Comma),
            ("Club\n7 iron\n", Separator::Comma),
        ] {
            assert_eq!(table(text).source, Source::Text { encoding: Encoding::Utf8, separator }, "{text:?}");
        }
    }

    #[test]
    fn encodings_are_known_by_their_marks() {
        let text = "Schläger,Länge\n7 iron,37\n";
        let utf16 = |mark: [u8; 2], to: fn(u16) -> [u8; 2]| -> Vec<u8> {
            mark.into_iter().chain(text.encode_utf16().flat_map(to)).collect()
        };
        for (bytes, encoding) in [
            (text.as_bytes().to_vec(), Encoding::Utf8),
            (format!("\u{feff}{text}").into_bytes(), Encoding::Utf8),
            (utf16([0xff, 0xfe], u16::to_le_bytes), Encoding::Utf16Le),
            (utf16([0xfe, 0xff], u16::to_be_bytes), Encoding::Utf16Be),
        ] {
            let read = sniff(&bytes).unwrap();
            assert_eq!(read.source, Source::Text { encoding, separator: Separator::Comma });
            assert_eq!(read.header.cells, ["Schläger", "Länge"]);
        }
        // Latin-1; UTF-16 without a mark; half a character of UTF-16; half a pair
        for bytes in
            [&b"Schl\xe4ger\n7"[..], b"C\0l\0u\0b\0\n\x007\0", b"\xff\xfeC\0l", b"\xff\xfe\x00\xd8\n\0"]
        {
            assert_eq!(sniff(bytes), Err(ExchangeError::NotText), "{bytes:?}");
        }
        assert_eq!(sniff(b"PK\x03\x04rest of a workbook"), Err(ExchangeError::Workbook));
    }

    #[test]
    fn what_cannot_be_read_one_way_is_refused_with_its_line() {
        assert_eq!(
            refused("Club,Length\n7 iron,37\n8 iron,36,5\nPW\n"),
            "expected 2 columns as in the header, found 3 in line 3, 1 in line 4"
        );
        assert_eq!(
            refused("Club,Length\n7 iron,37\n\"8 iron,36\nPW,35\n"),
            "line 3: a quotation mark is opened and never closed"
        );
        assert_eq!(
            refused("Club,Length\n7 iron,37\n\"8\" iron,36\n"),
            "line 3: expected the next cell behind a closing quotation mark, found \" \""
        );
        assert_eq!(refused("\n \n\r\n"), "expected a header and at least one row, found nothing");
        assert_eq!(
            refused("Club,Length\n,\n"),
            "expected a header and at least one row, found a header alone"
        );
    }

    #[test]
    fn limits_are_kept_and_what_stands_on_them_passes() {
        let rows = |count: usize| "a,b\n".to_owned() + &"1,2\n".repeat(count);
        assert_eq!(table(&rows(MOST_ROWS)).rows.len(), MOST_ROWS);
        assert_eq!(refused(&rows(MOST_ROWS + 1)), "expected at most 20000 rows in a table, found 20001");
        let wide = |count: usize| format!("{0}\n{0}\n", vec!["x"; count].join(","));
        assert_eq!(table(&wide(MOST_COLUMNS)).header.cells.len(), MOST_COLUMNS);
        assert_eq!(refused(&wide(MOST_COLUMNS + 1)), "expected at most 200 columns in a table, found 201");
        let long = |count: usize| format!("a,b\n1,{}\n", "é".repeat(count));
        assert_eq!(table(&long(4_096)).rows[0].cells[1].chars().count(), 4_096);
        assert_eq!(
            refused(&long(4_097)),
            "line 2, column 2: expected at most 4096 characters in a cell, found more"
        );
        let large = "a".repeat(5 * 1024 * 1024 + 1);
        assert_eq!(refused(&large), "expected at most 5242880 bytes in a table, found 5242881");
    }

    #[test]
    fn the_apostrophe_before_a_formula_is_taken_away_once() {
        let read = table("Club,Cut\n7 iron,'-1/2 in\n'tis,''=1\n");
        assert_eq!(cells(&read), [["7 iron", "-1/2 in"], ["'tis", "'=1"]]);
    }

    #[test]
    fn a_mark_of_inches_inside_a_cell_is_no_quotation() {
        assert_eq!(
            cells(&table("Club,Length\n7 iron,37\"\n8 iron,\"36 1/2\"\"\"\n")),
            [["7 iron", "37\""], ["8 iron", "36 1/2\""]]
        );
    }
}
