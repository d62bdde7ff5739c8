//! `calc tape`: how much of each tape makes so many points.

use super::{Calculation, read};
use crate::failure::Failure;
use club::tape::{head_mass_for_points, length_of_tape};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The club's length, the points wanted and the tapes at hand.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Input {
    length_in: f64,
    want_points: f64,
    /// Mass of an inch of each tape
    tape_g_per_in: Vec<f64>,
}

/// The mass at the head, and the inches of each tape in the order given.
#[derive(Serialize, JsonSchema)]
pub(super) struct Output {
    mass_g: f64,
    inches: Vec<f64>,
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        if !(0.0..=40.0).contains(&input.want_points) {
            return Err(Failure::bad_input(format!("expected 0 to 40 points, found {}", input.want_points))
                .field("want_points")
                .hint("Tape only adds; to come down, take a weight out or lighten the head."));
        }
        let mass = head_mass_for_points(
            read::inches_within("length_in", input.length_in, 18.0..=60.0)?,
            input.want_points,
        )?;
        let inches: Result<Vec<f64>, Failure> = input
            .tape_g_per_in
            .iter()
            .map(|per_inch| Ok(length_of_tape(mass, read::grams("tape_g_per_in", *per_inch)?)?.as_inches()))
            .collect();
        Ok(Output { mass_g: mass.as_grams(), inches: inches? })
    }
}
