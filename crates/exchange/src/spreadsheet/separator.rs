//! What stands between cells: guessed from the first rows, and shown so that a person can see it.

use super::cells::Rows;
use crate::ExchangeError;

/// Rows that are looked at. Definition of the guess: enough to see a pattern, few enough to cost nothing.
const SAMPLE: usize = 50;

/// What stands between the cells of a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Separator {
    /// A comma.
    Comma,
    /// A semicolon.
    Semicolon,
    /// A tab.
    Tab,
    /// A bar.
    Bar,
}

/// How well a separator fits a table; more is better, the first thing first.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Fit {
    parts_the_header: bool,
    reads_without_error: bool,
    rows_like_the_header_in_1000: usize,
    columns: usize,
}

impl Separator {
    /// All of them, the usual one first.
    pub const ALL: [Self; 4] = [Self::Comma, Self::Semicolon, Self::Tab, Self::Bar];

    /// Returns its sign.
    #[must_use]
    pub fn sign(self) -> char {
        match self {
            Self::Comma => ',',
            Self::Semicolon => ';',
            Self::Tab => '\t',
            Self::Bar => '|',
        }
    }

    /// Names it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Comma => "comma",
            Self::Semicolon => "semicolon",
            Self::Tab => "tab",
            Self::Bar => "bar",
        }
    }

    /// Guesses the separator of a table; a comma where nothing tells.
    pub(super) fn guess(text: &str) -> Self {
        // of equals the last one wins, so the usual one is looked at last
        Self::ALL.into_iter().rev().max_by_key(|separator| separator.fit(text)).unwrap_or(Self::Comma)
    }

    fn fit(self, text: &str) -> Fit {
        let mut columns = Vec::new();
        let mut reads_without_error = true;
        for row in Rows::new(text, self.sign()).take(SAMPLE) {
            match row {
                Ok(row) => columns.push(row.cells.len()),
                Err(error) => {
                    reads_without_error = false;
                    // too many columns are columns too
                    if let ExchangeError::TooMuch { found, .. } = error {
                        columns.push(found);
                    }
                    break;
                }
            }
        }
        let header = columns.first().copied().unwrap_or_default();
        let alike = columns.iter().filter(|count| **count == header).count();
        Fit {
            parts_the_header: header > 1,
            reads_without_error,
            rows_like_the_header_in_1000: alike * 1000 / columns.len().max(1),
            columns: header,
        }
    }
}
