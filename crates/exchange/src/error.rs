//! What is refused, and what to do then.

use crate::WorkbookProblem;
use std::fmt::Write as _;
use studio::Id;

/// A row that has more or fewer columns than the header.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RaggedRow {
    /// Its line in the file.
    pub line: usize,
    /// Its columns.
    pub columns: usize,
}

/// Why a file was refused; nothing of it was taken.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ExchangeError {
    /// A file could not be put together.
    #[error("the {what} could not be written: {why}")]
    NotWritten {
        /// What kind of file.
        what: &'static str,
        /// What failed.
        why: String,
    },
    /// More of something than is taken at once.
    #[error("expected at most {most} {what}, found {found}")]
    TooMuch {
        /// Of what.
        what: &'static str,
        /// The most.
        most: usize,
        /// What was found.
        found: usize,
    },
    /// The bytes are no text in an encoding that is read.
    #[error("expected text in UTF-8, or a table in UTF-16 with its mark, found other bytes")]
    NotText,
    /// A workbook where only a text is read.
    #[error("expected a table as text, found a workbook")]
    Workbook,
    /// A sheet asked for in a text.
    #[error("expected a workbook with a sheet \"{wanted}\", found a table as text")]
    NoSheets {
        /// The sheet asked for.
        wanted: String,
    },
    /// A workbook that was refused.
    #[error(transparent)]
    BadWorkbook(#[from] WorkbookProblem),
    /// A studio file that ends before its end.
    #[error("the studio file ends in the middle")]
    Cut,
    /// Some other file.
    #[error("expected a studio file, found {found}")]
    NotAStudio {
        /// What was found instead.
        found: String,
    },
    /// A studio file of a version that is not known here.
    #[error("the studio file has version {found}; this program knows version {known}")]
    UnknownVersion {
        /// The file's.
        found: u64,
        /// The one known here.
        known: u64,
    },
    /// Something in a studio file that has no place there.
    #[error("line {line}, column {column} of the studio file: {message}")]
    BadDocument {
        /// Line, from 1.
        line: usize,
        /// Column in bytes, from 1.
        column: usize,
        /// What was expected and found.
        message: String,
    },
    /// A setting of the house that it cannot have.
    #[error("house: {message}")]
    BadHouse {
        /// What was expected and found.
        message: String,
        /// What to do.
        hint: Option<String>,
    },
    /// A record that is filed under another golfer than its own.
    #[error("{kind} {id} stands under golfer {under} and belongs to another")]
    WrongGolfer {
        /// The kind of record.
        kind: &'static str,
        /// The record.
        id: Id,
        /// The golfer it stands under.
        under: Id,
    },
    /// Two records of one id.
    #[error("the id {0} stands twice")]
    SameId(Id),
    /// Two jobs of one number.
    #[error("the job number {0} stands twice")]
    SameJobNumber(i64),
    /// A record that hangs on one that is not there.
    #[error("{kind} {id} is of {of} {wanted}, which is not there")]
    NotThere {
        /// The kind of record.
        kind: &'static str,
        /// The record.
        id: Id,
        /// The kind of what is not there.
        of: &'static str,
        /// The id of what is not there.
        wanted: Id,
    },
    /// A record that says what cannot be said.
    #[error("{kind} {id}: {message}")]
    BadRecord {
        /// The kind of record.
        kind: &'static str,
        /// The record.
        id: Id,
        /// What was expected and found.
        message: String,
        /// What to do.
        hint: Option<String>,
    },
    /// A table without a row.
    #[error("expected a header and at least one row, found {0}")]
    NoRows(String),
    /// A quoted cell that is never closed.
    #[error("line {line}: a quotation mark is opened and never closed")]
    OpenQuote {
        /// The line it opens in.
        line: usize,
    },
    /// A quoted cell with something behind its end.
    #[error("line {line}: expected the next cell behind a closing quotation mark, found \"{found}\"")]
    BehindQuote {
        /// The line.
        line: usize,
        /// The sign found.
        found: char,
    },
    /// A cell that is too long.
    #[error("line {line}, column {column}: expected at most {most} characters in a cell, found more")]
    LongCell {
        /// The line the cell begins in.
        line: usize,
        /// Its column, from 1.
        column: usize,
        /// The most.
        most: usize,
    },
    /// Rows that have more or fewer columns than the header.
    #[error("expected {expected} columns as in the header, found {}", listed(rows))]
    Ragged {
        /// Columns of the header.
        expected: usize,
        /// The rows.
        rows: Vec<RaggedRow>,
    },
    /// A strike file whose columns are not those of one.
    #[error("expected the columns session, order, offset_in, x_mm and y_mm, found {problem}")]
    StrikeColumns {
        /// What is wrong with them.
        problem: String,
    },
    /// A cell of a strike file that cannot be read.
    #[error("line {line}, column {column}: expected {expected}, found \"{found}\"")]
    BadStrike {
        /// Its line.
        line: usize,
        /// Its column, by name.
        column: String,
        /// What was expected.
        expected: &'static str,
        /// What was found.
        found: String,
    },
    /// A number with a comma, which may be a decimal comma.
    #[error("line {line}: \"{found}\" has a comma, which can be read two ways")]
    DecimalCommas {
        /// Its line.
        line: usize,
        /// What was found.
        found: String,
    },
    /// No column by that key.
    #[error("expected a column such as \"name\" or \"length in\", found \"{0}\"")]
    UnknownColumn(String),
    /// A day or time a calendar file cannot write.
    #[error("expected a time from year 0 to 9999, found {0}")]
    BeyondCalendar(String),
    /// A sign a calendar file cannot write.
    #[error("expected a text without control signs, found U+{:04X}", u32::from(*.0))]
    ControlSign(char),
}

/// The first ragged rows, and how many more there are.
fn listed(rows: &[RaggedRow]) -> String {
    const SHOWN: usize = 5;
    let mut list = String::new();
    for (place, row) in rows.iter().take(SHOWN).enumerate() {
        let between = if place == 0 { "" } else { ", " };
        // writing into a String does not fail
        let _ = write!(list, "{between}{} in line {}", row.columns, row.line);
    }
    match rows.len().saturating_sub(SHOWN) {
        0 => list,
        1 => list + " and so in 1 more line",
        more => list + &format!(" and so in {more} more lines"),
    }
}

impl ExchangeError {
    /// Returns what to do.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::NotWritten { .. } => "Take the table of commas instead.".to_owned(),
            Self::TooMuch { .. } | Self::LongCell { .. } => {
                "Leave out what is not needed, or bring it in as several files.".to_owned()
            }
            Self::NotText => "Save the table again as \"CSV UTF-8\".".to_owned(),
            Self::Workbook => "Open it in its program and save the sheet as \"CSV UTF-8\".".to_owned(),
            Self::NoSheets { .. } => "Leave the sheet out; a text is one table.".to_owned(),
            Self::BadWorkbook(problem) => problem.hint().to_owned(),
            Self::Cut => "Copy or export it again; this copy is not whole.".to_owned(),
            Self::NotAStudio { .. } => "Choose a studio file that Lengthwise has exported.".to_owned(),
            Self::UnknownVersion { found, known } if found > known => {
                "It was not touched. Install the newer version of Lengthwise to read it.".to_owned()
            }
            Self::UnknownVersion { .. }
            | Self::BadDocument { .. }
            | Self::WrongGolfer { .. }
            | Self::SameId(_)
            | Self::SameJobNumber(_)
            | Self::NotThere { .. } => {
                "Nothing was brought in. The file was changed after it was written; export it again."
                    .to_owned()
            }
            Self::BadHouse { hint, .. } | Self::BadRecord { hint, .. } => hint.clone().unwrap_or_else(|| {
                "Nothing was brought in. Put it right where it was exported, and export it again.".to_owned()
            }),
            Self::NoRows(_) => {
                "The first row names the columns; the rows under it hold the values.".to_owned()
            }
            Self::OpenQuote { .. } | Self::BehindQuote { .. } => {
                "Write a quotation mark inside a quoted cell twice, or save the table again as \"CSV UTF-8\"."
                    .to_owned()
            }
            Self::Ragged { .. } => {
                "Look for a separator inside a cell, such as a decimal comma, and for lines above the header."
                    .to_owned()
            }
            Self::StrikeColumns { .. } => {
                "Name the columns in the first row; others may stand beside them.".to_owned()
            }
            Self::BadStrike { .. } => {
                "Nothing was taken from the file. Correct the cell, and read it again.".to_owned()
            }
            Self::DecimalCommas { .. } => {
                "Say that the file is written with decimal commas, or save it with decimal points.".to_owned()
            }
            Self::UnknownColumn(_) => "Choose the column again.".to_owned(),
            Self::BeyondCalendar(_) => "Set another day.".to_owned(),
            Self::ControlSign(_) => "Type the text again.".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{ExchangeError, RaggedRow};

    #[test]
    fn ragged_rows_are_named_by_line() {
        let ragged = |count: usize| ExchangeError::Ragged {
            expected: 3,
            rows: (0..count).map(|place| RaggedRow { line: place + 2, columns: 2 }).collect(),
        };
        assert_eq!(
            ragged(2).to_string(),
            "expected 3 columns as in the header, found 2 in line 2, 2 in line 3"
        );
        assert!(ragged(6).to_string().ends_with("2 in line 6 and so in 1 more line"));
        assert!(ragged(9).to_string().ends_with("and so in 4 more lines"));
    }
}
