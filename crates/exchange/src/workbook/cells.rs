//! The cells of a sheet, taken one by one as they stand in the file, each within the limits of a table.
//!
//! A sheet is never laid out as a rectangle before its cells are looked at: one far cell would ask for more memory than
//! there is.

use super::{WorkbookProblem, text};
use crate::spreadsheet::{LARGEST_TABLE, LONGEST_CELL, MOST_COLUMNS, MOST_ROWS, Row};
use calamine::{DataRef, Xlsx};
use std::io::{Read, Seek};

/// Most cells of a sheet that hold something. Definition of what the tool takes.
pub(super) const MOST_CELLS: usize = 500_000;

/// A place in a sheet: row and column, from 0.
type Place = (u32, u32);

/// Reads the rows of a sheet that hold something.
pub(super) fn rows_of(book: &mut Xlsx<impl Read + Seek>, name: &str) -> Result<Vec<Row>, WorkbookProblem> {
    let damaged = |_| WorkbookProblem::Damaged;
    let mut reader = book.worksheet_cells_reader(name).map_err(damaged)?;
    check_place(reader.dimensions().end)?;
    let mut cells: Vec<(Place, String)> = Vec::new();
    let mut bytes = 0;
    while let Some(cell) = reader.next_cell_with_formula_metadata().map_err(damaged)? {
        check_place(cell.pos)?;
        if cell.formula.is_some() && cell.value == DataRef::Empty {
            return Err(WorkbookProblem::NotWorkedOut { cell: name_of(cell.pos) });
        }
        let text =
            text::of(&cell.value).ok_or_else(|| WorkbookProblem::NoValue { cell: name_of(cell.pos) })?;
        if text.is_empty() {
            continue;
        }
        if text.len() > LONGEST_CELL && text.chars().count() > LONGEST_CELL {
            return Err(WorkbookProblem::LongCell { cell: name_of(cell.pos) });
        }
        bytes += text.len();
        if bytes > LARGEST_TABLE {
            return Err(WorkbookProblem::too_much("bytes in the texts of a sheet", LARGEST_TABLE, bytes));
        }
        if cells.len() == MOST_CELLS {
            return Err(WorkbookProblem::too_much("cells in a sheet", MOST_CELLS, MOST_CELLS + 1));
        }
        cells.push((cell.pos, text.into_owned()));
    }
    // files in which cells do not stand in their order are rare and allowed
    cells.sort_by_key(|(place, _)| *place);
    if let Some(twice) = cells.windows(2).find(|pair| pair[0].0 == pair[1].0) {
        return Err(WorkbookProblem::Twice { cell: name_of(twice[0].0) });
    }
    Ok(in_rows(cells))
}

fn check_place((row, column): Place) -> Result<(), WorkbookProblem> {
    let is_within = |index: u32, most: usize| usize::try_from(index).is_ok_and(|index| index < most);
    // the header, and the rows under it
    if is_within(row, MOST_ROWS + 1) && is_within(column, MOST_COLUMNS) {
        return Ok(());
    }
    Err(WorkbookProblem::Far { cell: name_of((row, column)) })
}

/// Lays sorted cells out in rows; an empty cell stands where a row skips one.
fn in_rows(cells: Vec<(Place, String)>) -> Vec<Row> {
    let index = |index: u32| usize::try_from(index).unwrap_or(usize::MAX);
    let mut rows: Vec<Row> = Vec::new();
    for ((row, column), text) in cells {
        let line = index(row) + 1;
        if rows.last().is_none_or(|last| last.line != line) {
            rows.push(Row { line, cells: Vec::new() });
        }
        if let Some(last) = rows.last_mut() {
            last.cells.resize(index(column), String::new());
            last.cells.push(text);
        }
    }
    rows
}

/// Names a cell as its program does: `A1`, `XFD1048576`.
fn name_of((row, column): Place) -> String {
    let mut letters = Vec::new();
    let mut rest = u64::from(column) + 1;
    while rest > 0 {
        rest -= 1;
        letters.push(char::from(b'A' + u8::try_from(rest % 26).unwrap_or_default()));
        rest /= 26;
    }
    format!("{}{}", letters.iter().rev().collect::<String>(), u64::from(row) + 1)
}

#[cfg(test)]
mod tests {
    use super::{in_rows, name_of};

    #[test]
    fn cells_are_named_as_their_program_does() {
        for (place, name) in [
            ((0, 0), "A1"),
            ((0, 25), "Z1"),
            ((9, 26), "AA10"),
            ((1, 701), "ZZ2"),
            ((1, 702), "AAA2"),
            ((1_048_575, 16_383), "XFD1048576"),
        ] {
            assert_eq!(name_of(place), name);
        }
    }

    #[test]
    fn a_row_is_as_long_as_its_last_cell() {
        let cell = |row, column, text: &str| ((row, column), text.to_owned());
        let rows = in_rows(vec![cell(1, 0, "a"), cell(1, 2, "c"), cell(4, 1, "b")]);
        let seen: Vec<(usize, Vec<&str>)> =
            rows.iter().map(|row| (row.line, row.cells.iter().map(String::as_str).collect())).collect();
        assert_eq!(seen, [(2, vec!["a", "", "c"]), (5, vec!["", "b"])]);
    }
}
