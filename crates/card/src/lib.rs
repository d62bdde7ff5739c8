//! The fitting card: one golfer, their readings and their clubs as a text a fitter can type.
//!
//! A card is TOML. This crate reads it into the domain's records and knows on which line everything
//! stands, so that whatever is wrong is named by line and key with what was expected and what to do. It
//! decides nothing about golf: ranges and rules are the domain's. Pure: text and today's date in, records
//! or problems out.

mod club;
mod document;
mod golfer;
mod house;
mod nearest;
mod problem;

pub use nearest::nearest;
pub use problem::CardProblem;

use bench::{House, PlanProblem, SetPlan, Where, WishedClub, plan};
use document::Document;
use fitting::Golfer;
use jiff::civil::Date;

/// Largest card that is read, bytes. A card of forty clubs with every key is under 20 kB.
pub const LARGEST: usize = 256 * 1024;
/// Most clubs on one card.
const MOST_CLUBS: usize = 40;

/// A card that could be read.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// The golfer and their readings.
    pub golfer: Golfer,
    /// The clubs, as entered.
    pub clubs: Vec<WishedClub>,
    /// The shop's limits and habits.
    pub house: House,
    lines: document::Lines,
}

/// Decodes the bytes of a card.
///
/// # Errors
/// One problem when the card is empty, too large or not UTF-8.
pub fn decode(bytes: &[u8]) -> Result<&str, CardProblem> {
    if bytes.len() > LARGEST {
        return Err(CardProblem::whole(
            format!("expected a card of at most {} kB, found more", LARGEST / 1024),
            "Is this the right file? A card holds one golfer and their clubs.",
        ));
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
        return Err(CardProblem::whole(
            "expected UTF-8 text, found UTF-16".to_owned(),
            "Save the card again as UTF-8.",
        ));
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let before = bytes.get(..error.valid_up_to()).unwrap_or_default();
        CardProblem {
            line: Some(1 + before.iter().filter(|byte| **byte == b'\n').count()),
            key: None,
            message: "expected UTF-8 text, found a byte that is not".to_owned(),
            hint: Some("Save the card again as UTF-8.".to_owned()),
        }
    })?;
    if text.trim().is_empty() {
        return Err(CardProblem::whole(
            "expected a fitting card, found an empty file".to_owned(),
            "Begin with [golfer], then one [[club]] for each club; see the examples.",
        ));
    }
    Ok(text)
}

/// Reads a card; `today` gives the golfer's age.
///
/// # Errors
/// Everything that is wrong with it, in the order of its lines.
pub fn read(text: &str, today: Date) -> Result<Card, Vec<CardProblem>> {
    let (document, mut problems) = Document::parse(text);
    if !problems.is_empty() {
        return Err(problems);
    }
    let mut top = document.top(&mut problems, &["golfer", "house", "club"]);
    let golfer = match top.table("golfer", golfer::KEYS) {
        Some(table) => golfer::read(table, today),
        None => {
            top.missing("golfer", "a [golfer] table with name, plays, knuckle_height and shoes");
            None
        }
    };
    let house = top.table("house", house::KEYS).map_or_else(House::default, house::read);
    let clubs = top.tables("club", club::KEYS, MOST_CLUBS, club::read);
    match golfer {
        Some(golfer) if problems.is_empty() => {
            Ok(Card { golfer, clubs, house, lines: document.into_lines() })
        }
        _ => {
            problems.sort_by_key(|problem| problem.line);
            Err(problems)
        }
    }
}

impl Card {
    /// Plans the card's set.
    ///
    /// # Errors
    /// Everything wrong with it, by line and key.
    pub fn plan(&self) -> Result<SetPlan, Vec<CardProblem>> {
        plan(&self.golfer, &self.clubs, &self.house).map_err(|problems| {
            let mut located: Vec<CardProblem> =
                problems.iter().map(|problem| self.located(problem)).collect();
            located.sort_by_key(|problem| problem.line);
            located
        })
    }

    /// Finds the line and key a problem of the domain belongs to.
    fn located(&self, problem: &PlanProblem) -> CardProblem {
        let table = match problem.place {
            Where::Golfer => "golfer".to_owned(),
            Where::House => "house".to_owned(),
            Where::Club(index) => document::item_path("club", index),
        };
        let key = match problem.place {
            Where::Golfer => format!("golfer, {}", problem.field),
            Where::House => format!("house, {}", problem.field),
            Where::Club(index) => {
                let name = self.clubs.get(index).map_or("", |club| club.entry.name.as_str());
                format!("club \"{}\", {}", name.trim(), problem.field)
            }
        };
        CardProblem {
            line: self.lines.of(&table, problem.field),
            key: Some(key),
            message: problem.error.to_string(),
            hint: problem.error.hint(),
        }
    }
}

#[cfg(test)]
mod tests;
