//! From text to rows of cells, with the line each row begins in.
//!
//! A cell in quotation marks may hold separators, new lines and doubled quotation marks; a quotation mark inside a
//! cell that does not begin with one is a sign like any other, as in `37"`. A mark that is never closed, and anything
//! between a closing mark and the next cell, is refused rather than guessed at.

use super::{LONGEST_CELL, MOST_COLUMNS, Row};
use crate::ExchangeError;
use std::iter::Peekable;
use std::str::Chars;

/// The rows of a text that are not empty.
pub(super) struct Rows<'t> {
    signs: Peekable<Chars<'t>>,
    separator: char,
    line: usize,
}

/// What a cell ends at.
#[derive(PartialEq, Eq)]
enum End {
    Cell,
    Row,
}

impl Iterator for Rows<'_> {
    type Item = Result<Row, ExchangeError>;

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            self.signs.peek()?;
            match self.row() {
                Ok(row) if row.is_empty() => {}
                row_or_error => return Some(row_or_error),
            }
        }
    }
}

impl<'t> Rows<'t> {
    pub(super) fn new(text: &'t str, separator: char) -> Self {
        Self { signs: text.chars().peekable(), separator, line: 1 }
    }

    fn row(&mut self) -> Result<Row, ExchangeError> {
        let line = self.line;
        let mut cells = Vec::new();
        loop {
            if cells.len() == MOST_COLUMNS {
                let found = MOST_COLUMNS + 1;
                return Err(ExchangeError::TooMuch { what: "columns in a table", most: MOST_COLUMNS, found });
            }
            let mut cell = Cell { text: String::new(), signs: 0, line: self.line, column: cells.len() + 1 };
            let end = if self.signs.next_if_eq(&'"').is_some() {
                self.quoted(&mut cell)?;
                self.behind_quote()?
            } else {
                self.plain(&mut cell)?
            };
            cells.push(cell.text);
            if end == End::Row {
                return Ok(Row { line, cells });
            }
        }
    }

    fn plain(&mut self, cell: &mut Cell) -> Result<End, ExchangeError> {
        while let Some(sign) = self.signs.next() {
            if let Some(end) = self.end_at(sign) {
                return Ok(end);
            }
            cell.push(sign)?;
        }
        Ok(End::Row)
    }

    fn quoted(&mut self, cell: &mut Cell) -> Result<(), ExchangeError> {
        let opened = self.line;
        while let Some(sign) = self.signs.next() {
            match sign {
                '"' if self.signs.next_if_eq(&'"').is_none() => return Ok(()),
                '\n' => self.line += 1,
                // counted at the new line that follows
                '\r' if self.signs.peek() != Some(&'\n') => self.line += 1,
                _ => {}
            }
            cell.push(sign)?;
        }
        Err(ExchangeError::OpenQuote { line: opened })
    }

    fn behind_quote(&mut self) -> Result<End, ExchangeError> {
        let line = self.line;
        match self.signs.next() {
            None => Ok(End::Row),
            Some(sign) => self.end_at(sign).ok_or(ExchangeError::BehindQuote { line, found: sign }),
        }
    }

    /// Tells what ends at this sign, and goes on to the next line if a row does.
    fn end_at(&mut self, sign: char) -> Option<End> {
        match sign {
            '\n' => {}
            '\r' => {
                self.signs.next_if_eq(&'\n');
            }
            separator if separator == self.separator => return Some(End::Cell),
            _ => return None,
        }
        self.line += 1;
        Some(End::Row)
    }
}

/// A cell in the making.
struct Cell {
    text: String,
    signs: usize,
    line: usize,
    column: usize,
}

impl Cell {
    fn push(&mut self, sign: char) -> Result<(), ExchangeError> {
        if self.signs == LONGEST_CELL {
            return Err(ExchangeError::LongCell { line: self.line, column: self.column, most: LONGEST_CELL });
        }
        self.signs += 1;
        self.text.push(sign);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::Rows;

    #[test]
    fn every_kind_of_line_end_ends_a_row_and_counts_once() {
        let rows: Vec<_> =
            Rows::new("a,b\r\n\"c\r\nd\re\",f\rg,\"h\"\ni,", ',').collect::<Result<_, _>>().unwrap();
        let seen: Vec<(usize, Vec<&str>)> =
            rows.iter().map(|row| (row.line, row.cells.iter().map(String::as_str).collect())).collect();
        assert_eq!(
            seen,
            [(1, vec!["a", "b"]), (2, vec!["c\r\nd\re", "f"]), (5, vec!["g", "h"]), (6, vec!["i", ""])]
        );
    }
}
