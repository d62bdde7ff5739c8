//! A sheet of somebody's workbook (Office Open XML, .xlsx), read within limits to the rows a table has.
//!
//! Which kind of file it is, is told by its content. The archive is unpacked once and counted before anything of it is
//! believed ([`package`]); then the cells of one sheet are taken one by one ([`cells`]), each within the limits of a
//! table. Formulas are read as the values their program worked out last. What the reader of the format asks memory for
//! cannot be bounded here altogether, so callers run this in a process of its own and hand the [`Sheet`] on.

mod cells;
mod kind;
mod package;
mod problem;
mod text;

pub use kind::is_workbook;
pub use problem::WorkbookProblem;

use crate::ExchangeError;
use crate::spreadsheet::{MOST_COLUMNS, Row, Source, Table};
use calamine::{Reader, SheetType, SheetVisible, Xlsx};
use serde::{Deserialize, Serialize};
use std::io::Cursor;

/// Most sheets of a workbook. Definition of what the tool takes.
const MOST_SHEETS: usize = 200;
/// Longest name of a sheet, characters. Definition of what the tool takes: spreadsheet programs allow 31.
const LONGEST_NAME: usize = 255;

/// A sheet as it was read: its rows that hold something, each as far as it does.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sheet {
    /// Its name.
    pub name: String,
    /// The names of the sheets beside it.
    pub others: Vec<String>,
    /// Its rows, from the top.
    pub rows: Vec<Row>,
}

/// Reads a sheet of a workbook: the one of this name, or the first that is not hidden.
///
/// # Errors
/// What is beyond the limits, no workbook of this kind, locked, damaged, or without the sheet.
pub fn read_sheet(bytes: &[u8], wanted: Option<&str>) -> Result<Sheet, WorkbookProblem> {
    package::check(bytes)?;
    let mut book = Xlsx::new(Cursor::new(bytes)).map_err(|_| WorkbookProblem::Damaged)?;
    let sheets: Vec<&calamine::Sheet> =
        book.sheets_metadata().iter().filter(|sheet| sheet.typ == SheetType::WorkSheet).collect();
    if sheets.len() > MOST_SHEETS {
        return Err(WorkbookProblem::too_much("sheets in a workbook", MOST_SHEETS, sheets.len()));
    }
    if sheets.iter().any(|sheet| sheet.name.chars().count() > LONGEST_NAME) {
        return Err(WorkbookProblem::Damaged);
    }
    let names = |sheets: &[&calamine::Sheet]| -> Vec<String> {
        sheets.iter().map(|sheet| sheet.name.clone()).collect()
    };
    let at = match wanted {
        None => sheets.iter().position(|sheet| sheet.visible == SheetVisible::Visible),
        Some(wanted) => sheets.iter().position(|sheet| sheet.name == wanted),
    };
    let Some(at) = at else {
        return Err(match wanted {
            Some(wanted) => WorkbookProblem::NoSuchSheet { wanted: wanted.to_owned(), there: names(&sheets) },
            None => WorkbookProblem::NoSheet,
        });
    };
    let mut others = names(&sheets);
    let name = others.remove(at);
    let rows = cells::rows_of(&mut book, &name)?;
    Ok(Sheet { name, others, rows })
}

impl Sheet {
    /// Makes a table of it: each row as wide as the widest.
    ///
    /// # Errors
    /// When it has no header with a row under it, or is larger than a table.
    pub fn into_table(self) -> Result<Table, ExchangeError> {
        let columns = self.rows.iter().map(|row| row.cells.len()).max().unwrap_or_default();
        if columns > MOST_COLUMNS {
            let most = MOST_COLUMNS;
            return Err(ExchangeError::TooMuch { what: "columns in a table", most, found: columns });
        }
        let source = Source::Sheet { name: self.name, others: self.others };
        let rows = self.rows.into_iter().filter(|row| !row.is_empty()).map(|mut row| {
            row.cells.resize(columns, String::new());
            Ok(row)
        });
        Table::of_rows(source, rows)
    }
}
