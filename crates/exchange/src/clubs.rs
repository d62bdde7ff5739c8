//! A golfer's clubs from a table whose columns are matched: all of them, or everything that is wrong.
//!
//! Each cell is read as if it had been typed into its field. An empty cell is no reading; a row without a name that
//! holds a reading is a mistake. A club the golfer has already is not brought in twice. Which names say a club is for
//! the caller to judge ([`ClubRules::is_club`]); so are the limits of a reading, which the fitting card has.

mod changes;
mod matching;
mod names;
mod problem;

pub use changes::to_changes;
pub use problem::CellProblem;

use crate::columns::Column;
use crate::spreadsheet::{Row, Table};
use names::Names;
use studio::{Field, StudioError, Typed, Units};

/// Most clubs that are brought in at once. Definition of what the tool takes: several golfers' bags.
pub const MOST_CLUBS: usize = 200;
/// Most problems that are named at once. Definition: more are not read by anyone.
pub const MOST_PROBLEMS: usize = 100;

/// What the clubs are read by.
#[derive(Clone, Copy)]
pub struct ClubRules<'a> {
    /// How a bare number is read in a column without a unit.
    pub units: Units,
    /// Names of the clubs the golfer has.
    pub owned: &'a [&'a str],
    /// Refuses a name that says no club.
    pub is_club: &'a (dyn Fn(&str) -> Result<(), StudioError> + Sync),
}

/// A club that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportedClub {
    /// The line it stands in.
    pub line: usize,
    /// Its name.
    pub name: String,
    /// Its readings, in the order of the columns.
    pub readings: Vec<(Field, Typed)>,
}

/// Reads the clubs of a table; a column that is not matched, or has no place in `columns`, is left out.
///
/// # Errors
/// One problem for each cell that cannot be taken, the first [`MOST_PROBLEMS`] in the order of the file; or the
/// problems of the matching, at the header.
pub fn read_clubs(
    table: &Table,
    columns: &[Option<Column>],
    rules: &ClubRules<'_>,
) -> Result<Vec<ImportedClub>, Vec<CellProblem>> {
    let name_at = matching::name_column(table, columns)?;
    let mut problems = Vec::new();
    let mut clubs = Vec::new();
    let mut names = Names::of(rules);
    for row in table.rows.iter().filter(|row| holds_something(row, columns)) {
        if problems.len() >= MOST_PROBLEMS {
            break;
        }
        if clubs.len() == MOST_CLUBS {
            problems.push(CellProblem {
                line: row.line,
                column: name_at + 1,
                message: format!("expected at most {MOST_CLUBS} clubs, found more"),
                hint: Some("Bring in the clubs of one golfer.".to_owned()),
            });
            break;
        }
        let name = names.read(table, row, name_at).unwrap_or_else(|problem| {
            problems.push(problem);
            String::new()
        });
        let readings = readings(table, columns, row, rules.units, &mut problems);
        clubs.push(ImportedClub { line: row.line, name, readings });
    }
    if clubs.is_empty() {
        problems.push(CellProblem {
            line: table.header.line,
            column: name_at + 1,
            message: "expected a club in at least one row, found none".to_owned(),
            hint: Some("Match the columns that hold something.".to_owned()),
        });
    }
    problems.truncate(MOST_PROBLEMS);
    if problems.is_empty() { Ok(clubs) } else { Err(problems) }
}

/// A row counts when a matched column holds something.
fn holds_something(row: &Row, columns: &[Option<Column>]) -> bool {
    row.cells.iter().zip(columns).any(|(cell, column)| column.is_some() && !cell.trim().is_empty())
}

fn readings(
    table: &Table,
    columns: &[Option<Column>],
    row: &Row,
    units: Units,
    problems: &mut Vec<CellProblem>,
) -> Vec<(Field, Typed)> {
    let mut readings = Vec::new();
    for (place, (cell, column)) in row.cells.iter().zip(columns).enumerate() {
        let Some(Column::Reading { field, unit }) = column else { continue };
        if cell.trim().is_empty() {
            continue;
        }
        let typed = unit.map_or_else(|| cell.clone(), |unit| unit.beside(cell));
        match field.read(&typed, units) {
            Ok(read) => readings.push((*field, read)),
            Err(error) => problems.push(CellProblem::of(table, row, place, &error)),
        }
    }
    readings
}

#[cfg(test)]
mod tests {
    use super::{ClubRules, ImportedClub, MOST_CLUBS, MOST_PROBLEMS, read_clubs};
    use crate::{Column, guess_columns, sniff};
    use std::fmt::Write as _;
    use studio::{Field, StudioError, Units};

    fn any_club(name: &str) -> Result<(), StudioError> {
        if name.to_lowercase().contains("iron") {
            return Ok(());
        }
        let message = format!("\"{name}\" does not say which club it is");
        Err(StudioError::BadValue { message, hint: Some("Write \"7 iron\".".to_owned()) })
    }

    fn read(text: &str, owned: &[&str]) -> Result<Vec<ImportedClub>, Vec<String>> {
        let table = sniff(text.as_bytes()).unwrap();
        let rules = ClubRules { units: Units::Inches, owned, is_club: &any_club };
        read_clubs(&table, &guess_columns(&table), &rules)
            .map_err(|problems| problems.iter().map(ToString::to_string).collect())
    }

    #[test]
    fn cells_are_read_as_if_typed_with_the_unit_of_the_header() {
        let clubs = read(
            "Club;Length (mm);Weight (oz);Lie;SW;Shaft;Notes\n\
             7 iron;939,8;15;62,5°;D0;steel;old\n\
             8 iron;36 1/2 in;;62;;;\n\
             ;;;;;;a note without a club\n",
            &["6 iron"],
        )
        .unwrap();
        assert_eq!(
            clubs.iter().map(|club| (club.line, club.name.as_str())).collect::<Vec<_>>(),
            [(2, "7 iron"), (3, "8 iron")]
        );
        let value = |club: usize, field: Field| {
            clubs[club].readings.iter().find(|(of, _)| *of == field).map(|(_, read)| read.clone())
        };
        // 939.8 mm is 37 in; 15 oz are 15 * 28.349523125 g = 425.24 g
        assert_eq!(value(0, Field::ClubLength).unwrap().text, "939.8 mm");
        assert!((value(0, Field::ClubLength).unwrap().value_si.unwrap() - 0.9398).abs() < 1e-12);
        assert!((value(0, Field::Mass).unwrap().value_si.unwrap() - 0.425_242_846_875).abs() < 1e-12);
        assert!((value(0, Field::Lie).unwrap().value_si.unwrap().to_degrees() - 62.5).abs() < 1e-9);
        assert_eq!(value(0, Field::Swingweight).unwrap().read_back, "D0.0");
        assert_eq!(value(0, Field::ShaftMaterial).unwrap().text, "steel");
        // a unit of its own wins over the header's, and an empty cell is no reading
        assert!((value(1, Field::ClubLength).unwrap().value_si.unwrap() - 36.5 * 0.0254).abs() < 1e-12);
        assert_eq!(clubs[1].readings.len(), 2);
    }

    #[test]
    fn a_bare_number_without_a_unit_is_in_the_houses() {
        let table = sniff(b"Club,Length\n7 iron,940\n").unwrap();
        let rules = ClubRules { units: Units::Metric, owned: &[], is_club: &any_club };
        let clubs = read_clubs(&table, &guess_columns(&table), &rules).unwrap();
        assert_eq!(clubs[0].readings[0].1.text, "940 mm");
    }

    #[test]
    fn every_bad_cell_is_named_and_nothing_is_taken() {
        let problems = read(
            "Club,Length (in),Lie,SW\n\
             7 iron,long,62,D0\n\
             spoon,37,62 in,D0\n\
             7 Iron,37,62,D12\n\
             6 iron,37,,\n\
             ,37,,\n\
             \"8 iron\",\"1,234\",,\n",
            &["6 iron"],
        )
        .unwrap_err();
        assert_eq!(
            problems,
            [
                "line 2, column 2: Length (in): expected a length such as \"33 1/4 in\" or \"845 mm\", found \"long\"",
                "line 3, column 1: Club: \"spoon\" does not say which club it is",
                "line 3, column 3: Lie: the unit \"in\" in \"62 in\" is not one of deg, °",
                "line 4, column 1: Club: expected each club once, found \"7 Iron\" again; it stands in line 2 too",
                "line 4, column 4: SW: expected a swingweight such as \"D0.5\", found \"D12\"",
                "line 5, column 1: Club: expected a club the golfer does not have yet, found \"6 iron\"",
                "line 6, column 1: Club: expected a club such as \"7 iron\", found nothing",
                "line 7, column 2: Length (in): \"1,234 in\" can be read two ways",
            ]
        );
    }

    #[test]
    fn a_matching_that_cannot_be_used_is_named_at_the_header() {
        let table = sniff(b"a,b\n7 iron,37\n").unwrap();
        let rules = ClubRules { units: Units::Inches, owned: &[], is_club: &any_club };
        let length = Some(Column::from_key("length").unwrap());
        let stature = Some(Column::Reading { field: Field::Stature, unit: None });
        let name = Some(Column::ClubName);
        let refused = |columns: &[Option<Column>]| {
            let problems = read_clubs(&table, columns, &rules).unwrap_err();
            problems.iter().map(ToString::to_string).collect::<Vec<_>>()
        };
        assert_eq!(
            refused(&[None, length]),
            ["line 1, column 1: expected a column of the clubs' names, found none"]
        );
        assert_eq!(
            refused(&[name, stature]),
            ["line 1, column 2: expected a field of a club, found Stature"]
        );
        assert_eq!(
            refused(&[name, name]),
            ["line 1, column 2: expected Club in one column, found it in 1 and 2"]
        );
        assert_eq!(
            refused(&[name, None, length]),
            ["line 1, column 3: expected one of 2 columns, found Length"]
        );
        assert_eq!(refused(&[None, name]).len(), 1);
        assert_eq!(read_clubs(&table, &[name], &rules).unwrap()[0].readings, []);
    }

    #[test]
    fn no_more_clubs_and_problems_than_anyone_reads() {
        let rows = |count: usize, length: &str| {
            let mut text = "Club,Length\n".to_owned();
            for place in 0..count {
                writeln!(text, "7 iron ({place}),{length}").unwrap();
            }
            text
        };
        assert_eq!(read(&rows(MOST_CLUBS, "37"), &[]).unwrap().len(), MOST_CLUBS);
        assert_eq!(
            read(&rows(MOST_CLUBS + 1, "37"), &[]).unwrap_err(),
            ["line 202, column 1: expected at most 200 clubs, found more"]
        );
        assert_eq!(read(&rows(MOST_CLUBS, "?"), &[]).unwrap_err().len(), MOST_PROBLEMS);
    }
}
