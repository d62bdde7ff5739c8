//! The house's part of a card: the shop's own limits and habits over the usual ones.

use crate::document::Table;
use bench::{Hold, House};
use club::hold::Held;
use quantity::{Angle, InchStep, Length, Mass, QuantityError};

pub(crate) const KEYS: &[&str] = &[
    "round_to",
    "iron_step",
    "first_wedge_step",
    "wedge_step",
    "spread",
    "leave_within",
    "plain_extension",
    "caution_extension",
    "most_extension",
    "plain_cut",
    "most_cut",
    "most_grip_down",
    "least_steel_shaft",
    "least_graphite_shaft",
    "bend",
    "cap",
    "tip_weights",
    "tapes",
    "most_tape",
    "butt_weights",
    "butt_weight_at",
    "most_butt_weight",
    "new_grip_mass",
    "hold",
    "cure_hours",
];

/// Reads the house over the defaults.
pub(crate) fn read(mut table: Table<'_, '_>) -> House {
    let mut house = House::default();
    let step = |text: &str| Length::parse(text).and_then(InchStep::from_length).and_then(built_to);
    set(&mut house.round_to, table.quantity("round_to", step));
    set(&mut house.rule.iron_step, table.quantity("iron_step", Length::parse));
    set(&mut house.rule.first_wedge_step, table.quantity("first_wedge_step", Length::parse));
    set(&mut house.rule.wedge_step, table.quantity("wedge_step", Length::parse));
    set(&mut house.rule.spread_sd, table.quantity("spread", Length::parse));
    set(&mut house.leave_within, table.quantity("leave_within", Length::parse));
    set(&mut house.plain_extension, table.quantity("plain_extension", Length::parse));
    set(&mut house.caution_extension, table.quantity("caution_extension", Length::parse));
    set(&mut house.most_extension, table.quantity("most_extension", Length::parse));
    set(&mut house.plain_cut, table.quantity("plain_cut", Length::parse));
    set(&mut house.most_cut, table.quantity("most_cut", Length::parse));
    set(&mut house.most_grip_down, table.quantity("most_grip_down", Length::parse));
    set(&mut house.least_steel_shaft, table.quantity("least_steel_shaft", Mass::parse));
    set(&mut house.least_graphite_shaft, table.quantity("least_graphite_shaft", Mass::parse));
    set(&mut house.cap, table.quantity("cap", Length::parse));
    set(&mut house.tip_weights, table.quantities("tip_weights", some_mass));
    set(&mut house.tapes, table.quantities("tapes", some_mass));
    set(&mut house.most_tape, table.quantity("most_tape", Length::parse));
    set(&mut house.butt_weights, table.quantities("butt_weights", some_mass));
    set(&mut house.butt_weight_at, table.quantity("butt_weight_at", Length::parse));
    set(&mut house.most_butt_weight, table.quantity("most_butt_weight", Mass::parse));
    house.new_grip_mass = table.quantity("new_grip_mass", some_mass);
    let hold = table.word("hold", "\"swingweight\", \"inertia\" or \"neither\"", |word| match word {
        "swingweight" => Some(Hold::Number(Held::Swingweight)),
        "inertia" => Some(Hold::Number(Held::Inertia)),
        "neither" => Some(Hold::Neither),
        _ => None,
    });
    set(&mut house.hold, hold);
    set(&mut house.cure_hours, table.quantity("cure_hours", hours));
    if let Some(mut bend) = table.table("bend", &["forged", "cast_431", "cast"]) {
        set(&mut house.bend.forged, bend.quantity("forged", bend_limit));
        set(&mut house.bend.cast_431, bend.quantity("cast_431", bend_limit));
        set(&mut house.bend.cast, bend.quantity("cast", bend_limit));
    }
    house
}

fn set<T>(limit: &mut T, given: Option<T>) {
    if let Some(given) = given {
        *limit = given;
    }
}

/// A bench builds to a sixteenth at the finest, and sheets show no finer.
fn built_to(step: InchStep) -> Result<InchStep, QuantityError> {
    match step {
        InchStep::Quarter | InchStep::Eighth | InchStep::Sixteenth => Ok(step),
        InchStep::ThirtySecond => Err(QuantityError::BadFraction {
            found: "1/32 in".to_owned(),
            why: "lengths are built to 1/4, 1/8 or 1/16 in",
        }),
    }
}

/// A piece from the shelf: it weighs something.
fn some_mass(text: &str) -> Result<Mass, QuantityError> {
    let mass = Mass::parse(text)?;
    if mass > Mass::ZERO && mass <= Mass::grams(200.0) {
        return Ok(mass);
    }
    Err(QuantityError::NotANumber { expected: "a mass above 0 and up to 200 g", found: text.to_owned() })
}

fn bend_limit(text: &str) -> Result<Angle, QuantityError> {
    let limit = Angle::parse(text)?;
    if limit >= Angle::ZERO && limit <= Angle::degrees(8.0) {
        return Ok(limit);
    }
    Err(QuantityError::NotANumber { expected: "a limit of 0 to 8 degrees", found: text.to_owned() })
}

fn hours(text: &str) -> Result<u32, QuantityError> {
    let digits = text.trim().trim_end_matches(['h', ' ']);
    digits.parse().ok().filter(|hours| (1..=168).contains(hours)).ok_or_else(|| QuantityError::NotANumber {
        expected: "whole hours from 1 to 168",
        found: text.to_owned(),
    })
}
