//! A cell that cannot be taken: where it is, why, and what to do.

use crate::spreadsheet::{Row, Table};
use std::fmt;
use studio::StudioError;

/// A cell that cannot be taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CellProblem {
    /// Its line in the file.
    pub line: usize,
    /// Its column, from 1.
    pub column: usize,
    /// Which column it is, what was expected and what was found.
    pub message: String,
    /// What to do.
    pub hint: Option<String>,
}

impl fmt::Display for CellProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, column {}: {}", self.line, self.column, self.message)
    }
}

impl CellProblem {
    /// Names the cell of a row by its header.
    pub(crate) fn of(table: &Table, row: &Row, place: usize, error: &StudioError) -> Self {
        let header = table.header.cells.get(place).map_or("", String::as_str);
        let header: String = header.chars().take(40).collect();
        Self {
            line: row.line,
            column: place + 1,
            message: if header.is_empty() { error.to_string() } else { format!("{header}: {error}") },
            hint: error.hint(),
        }
    }
}
