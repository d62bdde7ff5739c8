//! The fitting card of a golfer's records: the one door from what the studio keeps to what the domain works out.
//!
//! The card is a text like the one a fitter types, so it can be kept with a target or a job, read again by any
//! version, and handed out. Which record every line came from is kept beside it.

use crate::house::{Part, SETTINGS};
use crate::{Dossier, Field, HouseSettings, Id, Reading, Subject};
use card::CardProblem;
use jiff::civil::Date;
use std::fmt::Write as _;

/// The record a line of the card came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Source {
    /// The golfer's file, by key.
    Golfer(&'static str),
    /// Readings of the body.
    Body(Field),
    /// A club, or a reading of it.
    Club(Id, Option<Field>),
    /// A setting of the house.
    House(&'static str),
}

/// A card and where its lines came from.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct CardText {
    text: String,
    sources: Vec<Option<Source>>,
}

impl CardText {
    /// Returns the card.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// Reads it.
    ///
    /// # Errors
    /// Everything wrong with it.
    pub fn read(&self, today: Date) -> Result<card::Card, Vec<CardProblem>> {
        card::read(&self.text, today)
    }

    /// Finds the record a problem belongs to.
    #[must_use]
    pub fn source_of(&self, problem: &CardProblem) -> Option<&Source> {
        let line = problem.line?.checked_sub(1)?;
        self.sources.get(line)?.as_ref()
    }

    /// A card for judging a house alone: an ordinary golfer and no clubs.
    pub(crate) fn of_house(house: &HouseSettings) -> Self {
        let mut card = Self::default();
        card.line("[golfer]", None);
        for (key, value) in
            [("name", "house"), ("plays", "right-handed"), ("knuckle_height", "28 in"), ("shoes", "on")]
        {
            card.pair(key, value, None);
        }
        card.house(house, None);
        card
    }

    /// A card for showing what a house does: an ordinary golfer and these clubs.
    pub(crate) fn of_example(house: &HouseSettings, clubs: &str) -> Self {
        let mut card = Self::default();
        card.line("[golfer]", None);
        for (key, value) in
            [("name", "example"), ("plays", "right-handed"), ("knuckle_height", "30 1/4 in"), ("shoes", "on")]
        {
            card.pair(key, value, None);
        }
        card.house(house, None);
        card.text.push('\n');
        card.text.push_str(clubs);
        card
    }

    /// The card of a golfer; `None` until a knuckle height was read.
    pub(crate) fn of(dossier: &Dossier, house: &HouseSettings) -> Option<Self> {
        let golfer = &dossier.golfer.record;
        let knuckles = dossier.body(Field::KnuckleHeight);
        let first = knuckles.first()?;
        let mut card = Self::default();
        card.line("[golfer]", None);
        card.pair("name", &golfer.name, Some(Source::Golfer("name")));
        card.pair("plays", golfer.plays.words(), Some(Source::Golfer("plays")));
        card.list(
            "knuckle_height",
            knuckles.iter().map(|reading| reading.typed.as_str()),
            Some(Source::Body(Field::KnuckleHeight)),
        );
        card.pair("shoes", first.shoes_word().unwrap_or("on"), Some(Source::Body(Field::KnuckleHeight)));
        for field in [Field::Stature, Field::WristHeight, Field::HandLength, Field::MiddleFinger] {
            if let Some(typed) = middle(&dossier.body(field)) {
                card.pair(field.key(), typed, Some(Source::Body(field)));
            }
        }
        if let Some(speed) = dossier.body(Field::HeadSpeed).last() {
            let line = format!("head_speed = {{ club = \"7 iron\", value = {} }}", quoted(&speed.typed));
            card.line(&line, Some(Source::Body(Field::HeadSpeed)));
        }
        if !golfer.sex_word().is_empty() {
            card.pair("sex", golfer.sex_word(), Some(Source::Golfer("sex")));
        }
        if let Some(born) = golfer.born {
            card.line(&format!("born = {born}"), Some(Source::Golfer("born")));
        }
        if let Some(reason) = &golfer.overruled {
            card.pair("overruled", reason, Some(Source::Golfer("overruled")));
        }
        if let Some(said) = dossier.said_by_trials() {
            let line = format!(
                "trial = {{ offset = {}, half_width = {}, on = {} }}",
                quoted(&said.offset.decimal_inches(4).to_string()),
                quoted(&said.half_width.decimal_inches(4).to_string()),
                quoted(&said.on)
            );
            card.line(&line, Some(Source::Golfer("trial")));
        }
        card.house(house, golfer.hold.as_deref());
        for club in dossier.clubs_with_length() {
            card.club(dossier, club);
        }
        Some(card)
    }

    fn club(&mut self, dossier: &Dossier, club: &crate::OwnedClub) {
        let whole = Some(Source::Club(club.id.clone(), None));
        self.line("", None);
        self.line("[[club]]", whole.clone());
        self.pair("name", &club.name, whole.clone());
        for field in Field::of(Subject::Club) {
            let Some(reading) = dossier.club_reading(&club.id, field) else { continue };
            let source = Some(Source::Club(club.id.clone(), Some(field)));
            if field == Field::Condition {
                self.list(field.key(), reading.typed.split(", ").filter(|word| !word.is_empty()), source);
            } else {
                self.pair(field.key(), &reading.typed, source);
            }
        }
        if let Some(way) = &club.way {
            self.pair("way", way, whole);
        }
    }

    /// The `[house]`; what a golfer's own choice overrides comes from there.
    fn house(&mut self, house: &HouseSettings, hold: Option<&str>) {
        self.line("", None);
        self.line("[house]", None);
        for setting in SETTINGS.iter().filter(|setting| setting.part == Part::Card) {
            let chosen = if setting.key == "hold" { hold } else { None };
            let Some(value) = chosen.or_else(|| house.values.get(setting.key).map(String::as_str)) else {
                continue;
            };
            let source = Some(Source::House(setting.key));
            if matches!(setting.key, "tip_weights" | "tapes" | "butt_weights") {
                self.list(setting.key, value.split(',').map(str::trim), source);
            } else {
                self.pair(setting.key, value, source);
            }
        }
    }

    fn line(&mut self, line: &str, source: Option<Source>) {
        self.text.push_str(line);
        self.text.push('\n');
        self.sources.push(source);
    }

    fn pair(&mut self, key: &str, value: &str, source: Option<Source>) {
        self.line(&format!("{key} = {}", quoted(value)), source);
    }

    fn list<'v>(&mut self, key: &str, values: impl Iterator<Item = &'v str>, source: Option<Source>) {
        let values: Vec<String> = values.map(quoted).collect();
        self.line(&format!("{key} = [{}]", values.join(", ")), source);
    }
}

/// The middle one of several readings, which one slip does not move.
fn middle<'r>(readings: &[&'r Reading]) -> Option<&'r str> {
    let mut by_value: Vec<&&Reading> = readings.iter().collect();
    by_value.sort_by(|a, b| a.value_si.unwrap_or_default().total_cmp(&b.value_si.unwrap_or_default()));
    by_value.get(by_value.len().checked_sub(1)? / 2).map(|reading| reading.typed.as_str())
}

/// Writes a text as TOML takes it, whatever it holds.
fn quoted(text: &str) -> String {
    let mut quoted = String::with_capacity(text.len() + 2);
    quoted.push('"');
    for sign in text.chars() {
        match sign {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            control if control.is_control() => {
                // writing into a String does not fail
                let _ = write!(quoted, "\\u{:04X}", u32::from(control));
            }
            plain => quoted.push(plain),
        }
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests {
    use super::quoted;
    use proptest::prelude::*;

    proptest! {
        /// No name or reading can end its string and begin a line of its own.
        #[test]
        fn any_text_stays_in_its_line(text in "\\PC{0,60}") {
            let line = quoted(&text);
            prop_assert!(!line.contains('\n'));
            let card = format!("[golfer]\nname = {line}\nplays = \"right-handed\"\nknuckle_height = \"28 in\"\nshoes = \"on\"\n");
            match card::read(&card, jiff::civil::date(2026, 11, 3)) {
                Ok(card) => prop_assert_eq!(card.golfer.name, text.trim()),
                Err(problems) => prop_assert!(problems.iter().all(|problem| problem.line == Some(2)), "{:?}", problems),
            }
        }
    }
}
