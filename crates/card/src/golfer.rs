//! The golfer's part of a card.

use crate::document::Table;
use club::ClubKind;
use fitting::{BodyReadings, FARTHEST_BY_TRIAL, Golfer, Handedness, HeadSpeed, Sex, Shoes, TrialSays};
use jiff::civil::Date;
use quantity::{Length, Speed};

pub(crate) const KEYS: &[&str] = &[
    "name",
    "plays",
    "knuckle_height",
    "shoes",
    "stature",
    "wrist_height",
    "hand_length",
    "middle_finger",
    "head_speed",
    "sex",
    "born",
    "overruled",
    "trial",
];

/// Oldest golfer believed.
const OLDEST_YEARS: i16 = 120;

/// Reads the golfer; `None` when something that must be there is missing or refused.
pub(crate) fn read(mut table: Table<'_, '_>, today: Date) -> Option<Golfer> {
    const NAME: &str = "a name";
    const PLAYS: &str = "\"right-handed\" or \"left-handed\"";
    const KNUCKLE: &str = "one or more readings such as [\"29 1/4 in\", \"29 1/8 in\"]";
    const SHOES: &str = "\"on\" or \"off\"";
    let name = table.text("name", NAME);
    let plays = table.word("plays", PLAYS, handedness);
    let knuckle_height = table.quantities("knuckle_height", Length::parse);
    let shoes = table.word("shoes", SHOES, |word| match word {
        "on" => Some(Shoes::On),
        "off" => Some(Shoes::Off),
        _ => None,
    });
    let sex = table.word("sex", "\"man\" or \"woman\"", |word| match word {
        "man" => Some(Sex::Man),
        "woman" => Some(Sex::Woman),
        _ => None,
    });
    for (key, expected) in [("name", NAME), ("plays", PLAYS), ("knuckle_height", KNUCKLE), ("shoes", SHOES)] {
        if !table.has(key) {
            table.missing(key, expected);
        }
    }
    let stature = table.quantity("stature", Length::parse);
    let wrist_height = table.quantity("wrist_height", Length::parse);
    let hand_length = table.quantity("hand_length", Length::parse);
    let middle_finger = table.quantity("middle_finger", Length::parse);
    let age_years = age(&mut table, today);
    let overruled = table.text("overruled", "the reason a doubtful reading is taken all the same");
    let head_speed = table.table("head_speed", &["club", "value"]).and_then(head_speed);
    let trial = table.table("trial", &["offset", "half_width", "on"]).and_then(trial_says);
    Some(Golfer {
        name: name?,
        plays: plays?,
        readings: BodyReadings {
            knuckle_height: knuckle_height?,
            shoes: shoes?,
            stature,
            wrist_height,
            hand_length,
            middle_finger,
            sex: sex.unwrap_or_default(),
            age_years,
        },
        head_speed,
        overruled,
        trial,
    })
}

fn handedness(word: &str) -> Option<Handedness> {
    match word {
        "right-handed" | "right" => Some(Handedness::Right),
        "left-handed" | "left" => Some(Handedness::Left),
        _ => None,
    }
}

fn age(table: &mut Table<'_, '_>, today: Date) -> Option<i16> {
    let born = table.date("born")?;
    let had_birthday = (today.month(), today.day()) >= (born.month(), born.day());
    let years = today.year() - born.year() - i16::from(!had_birthday);
    if !(0..=OLDEST_YEARS).contains(&years) {
        table.refuse("born", format!("expected a date of the last {OLDEST_YEARS} years, found {born}"));
        return None;
    }
    Some(years)
}

/// Reads what a strike trial said.
fn trial_says(mut table: Table<'_, '_>) -> Option<TrialSays> {
    const ON: &str = "what the trial rests on, such as \"48 balls on 4 days\"";
    let offset = table.quantity("offset", Length::parse);
    let half_width = table.quantity("half_width", Length::parse);
    let on = table.text("on", ON);
    for (key, expected) in
        [("offset", "a length such as \"1/4 in\""), ("half_width", "a length such as \"1/8 in\""), ("on", ON)]
    {
        if !table.has(key) {
            table.missing(key, expected);
        }
    }
    let (offset, half_width) = (offset?, half_width?);
    let most = FARTHEST_BY_TRIAL.to_step(quantity::InchStep::Eighth);
    if offset.abs() > FARTHEST_BY_TRIAL {
        table.refuse(
            "offset",
            format!(
                "expected an offset of up to {most}, found {}",
                offset.to_step(quantity::InchStep::Eighth)
            ),
        );
        return None;
    }
    if !(Length::ZERO..=FARTHEST_BY_TRIAL).contains(&half_width) {
        table.refuse(
            "half_width",
            format!("expected 0 to {most}, found {}", half_width.to_step(quantity::InchStep::Eighth)),
        );
        return None;
    }
    Some(TrialSays { offset, half_width, on: on? })
}

fn head_speed(mut table: Table<'_, '_>) -> Option<HeadSpeed> {
    let club = table.quantity("club", ClubKind::from_name);
    let speed = table.quantity("value", Speed::parse);
    for (key, expected) in [("club", "a club such as \"7 iron\""), ("value", "a speed such as \"78 mph\"")] {
        if !table.has(key) {
            table.missing(key, expected);
        }
    }
    let speed = speed?;
    if !(20.0..=160.0).contains(&speed.as_mph()) {
        table.refuse("value", format!("expected 20 to 160 mph, found {}", speed.mph_printed(0)));
        return None;
    }
    Some(HeadSpeed { club: club?, speed })
}
