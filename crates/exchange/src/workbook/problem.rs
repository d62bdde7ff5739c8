//! Why a workbook was refused, in a form that goes from the process that read it to the one that asked.

use crate::spreadsheet::{LONGEST_CELL, MOST_COLUMNS, MOST_ROWS, quoted};
use serde::{Deserialize, Serialize};

/// Why a workbook was refused; nothing of it was taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, Serialize, Deserialize)]
pub enum WorkbookProblem {
    /// Another kind of file.
    #[error("expected a workbook (.xlsx), found {found}")]
    Other {
        /// What was found.
        found: String,
    },
    /// A workbook behind a password.
    #[error("expected an open workbook, found one that is locked with a password")]
    Locked,
    /// A workbook that cannot be read to its end.
    #[error("the workbook is damaged or cut off")]
    Damaged,
    /// More of something than is taken at once.
    #[error("expected at most {most} {what}, found {found}")]
    TooMuch {
        /// Of what.
        what: String,
        /// The most.
        most: usize,
        /// What was found.
        found: usize,
    },
    /// More than is unpacked; it was counted no further.
    #[error("expected a workbook of at most {most_mib} MiB when unpacked, found more")]
    TooLarge {
        /// The most, MiB.
        most_mib: usize,
    },
    /// Entities that are declared to be put in many times over.
    #[error("expected a workbook as spreadsheet programs write it, found entities declared in it")]
    Entities,
    /// A sheet by that name is not there.
    #[error("expected a sheet \"{wanted}\", found {}", quoted(there))]
    NoSuchSheet {
        /// The name asked for.
        wanted: String,
        /// The sheets there are.
        there: Vec<String>,
    },
    /// No sheet of cells that is not hidden.
    #[error("expected a sheet of cells, found none that is not hidden")]
    NoSheet,
    /// A cell beyond the limits of a table.
    #[error("expected a sheet of at most {} rows and {MOST_COLUMNS} columns, found one up to {cell}", MOST_ROWS + 1)]
    Far {
        /// The cell, or the last one the sheet says it has.
        cell: String,
    },
    /// A cell that is too long.
    #[error("{cell}: expected at most {LONGEST_CELL} characters in a cell, found more")]
    LongCell {
        /// The cell.
        cell: String,
    },
    /// A cell that stands twice.
    #[error("{cell}: expected each cell once, found it twice")]
    Twice {
        /// The cell.
        cell: String,
    },
    /// A number, day or time that there is not.
    #[error("{cell}: expected a number, a day or a time, found one that cannot be written")]
    NoValue {
        /// The cell.
        cell: String,
    },
    /// A formula whose value was never worked out.
    #[error("{cell}: expected the value of its formula, found none")]
    NotWorkedOut {
        /// The cell.
        cell: String,
    },
    /// The process that was to read it did not come to its end.
    #[error("the workbook could not be read: reading it failed, or asked for too much memory or time")]
    GaveUp,
}

impl WorkbookProblem {
    pub(super) fn other(found: &str) -> Self {
        Self::Other { found: found.to_owned() }
    }

    pub(super) fn too_much(what: &str, most: usize, found: usize) -> Self {
        Self::TooMuch { what: what.to_owned(), most, found }
    }

    /// Returns what to do.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Other { .. } => "Open it in its program and save the sheet as .xlsx or as \"CSV UTF-8\".",
            Self::Locked => "Open it in its program, take the password away, and save it again.",
            Self::Damaged | Self::Entities | Self::Twice { .. } => {
                "Open it in its program and save it again, or save the sheet as \"CSV UTF-8\"."
            }
            Self::TooMuch { .. } | Self::TooLarge { .. } | Self::GaveUp => {
                "Copy the table alone into a new workbook, or save the sheet as \"CSV UTF-8\"."
            }
            Self::Far { .. } => {
                "Delete the rows and columns behind the table, their formats too, or copy the table into a new workbook."
            }
            Self::LongCell { .. } => "Leave out what is not needed.",
            Self::NoSuchSheet { .. } => "Write the name as it stands there, or leave it out for the first.",
            Self::NoSheet => "Put the table on a sheet that is shown.",
            Self::NoValue { .. } => "Write the value of the cell as a plain number or as text.",
            Self::NotWorkedOut { .. } => "Open it in its program and save it again; that works formulas out.",
        }
    }
}
