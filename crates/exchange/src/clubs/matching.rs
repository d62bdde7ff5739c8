//! Whether a matching of columns can be used: one column of names, each field once, all of them in the table.

use super::CellProblem;
use crate::columns::Column;
use crate::spreadsheet::Table;
use studio::Subject;

/// Finds the column of names in a matching that can be used.
pub(super) fn name_column(table: &Table, columns: &[Option<Column>]) -> Result<usize, Vec<CellProblem>> {
    let at = |place: usize, message: String, hint: &str| CellProblem {
        line: table.header.line,
        column: place + 1,
        message,
        hint: Some(hint.to_owned()),
    };
    let mut problems = Vec::new();
    for (place, column) in columns.iter().enumerate() {
        let Some(column) = column else { continue };
        if place >= table.header.cells.len() {
            let message = format!("expected one of {} columns, found {column}", table.header.cells.len());
            problems.push(at(place, message, "Match the columns again."));
        }
        if let Column::Reading { field, .. } = column
            && field.subject() != Subject::Club
        {
            let message = format!("expected a field of a club, found {column}");
            problems.push(at(place, message, "Readings of the golfer are entered at the golfer."));
        }
        let earlier = columns[..place]
            .iter()
            .position(|earlier| earlier.is_some_and(|earlier| earlier.is_same_as(*column)));
        if let Some(earlier) = earlier {
            let message =
                format!("expected {column} in one column, found it in {} and {}", earlier + 1, place + 1);
            problems.push(at(place, message, "Leave one of the two out."));
        }
    }
    match columns.iter().position(|column| *column == Some(Column::ClubName)) {
        Some(place) if problems.is_empty() => Ok(place),
        Some(_) => Err(problems),
        None => {
            let message = "expected a column of the clubs' names, found none".to_owned();
            problems.push(at(0, message, "Choose the column that names the clubs."));
            Err(problems)
        }
    }
}
