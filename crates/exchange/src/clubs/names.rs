//! Names of clubs: each says a club, once in the table, and none the golfer has.

use super::{CellProblem, ClubRules};
use crate::spreadsheet::{Row, Table};
use std::collections::HashMap;
use studio::{StudioError, folded, plain_text};

/// The names there are: the golfer's and those of the lines before.
pub(super) struct Names<'a> {
    rules: &'a ClubRules<'a>,
    /// Folded name to the line it was met in; none for a club the golfer has.
    met: HashMap<String, Option<usize>>,
}

impl<'a> Names<'a> {
    pub(super) fn of(rules: &'a ClubRules<'a>) -> Self {
        Self { rules, met: rules.owned.iter().map(|name| (folded(name.trim()), None)).collect() }
    }

    pub(super) fn read(&mut self, table: &Table, row: &Row, place: usize) -> Result<String, CellProblem> {
        let cell = row.cells.get(place).map_or("", String::as_str);
        let name = plain_text("name", cell).and_then(|name| {
            let name = name.ok_or_else(|| StudioError::BadValue {
                message: "expected a club such as \"7 iron\", found nothing".to_owned(),
                hint: Some("Name the club, or empty its row.".to_owned()),
            })?;
            (self.rules.is_club)(&name)?;
            Ok(name)
        });
        let name = name.map_err(|error| CellProblem::of(table, row, place, &error))?;
        let met = self.met.insert(folded(&name), Some(row.line));
        let again = |message: String, hint: &str| {
            let error = StudioError::BadValue { message, hint: Some(hint.to_owned()) };
            Err(CellProblem::of(table, row, place, &error))
        };
        match met {
            None => Ok(name),
            Some(None) => again(
                format!("expected a club the golfer does not have yet, found \"{name}\""),
                "Rename one of the two, as in \"7 iron (old set)\", or put the other one away.",
            ),
            Some(Some(line)) => again(
                format!("expected each club once, found \"{name}\" again; it stands in line {line} too"),
                "Rename one of the two, as in \"7 iron (old set)\", or leave it out.",
            ),
        }
    }
}
