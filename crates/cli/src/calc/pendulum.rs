//! `calc pendulum`: inertia from a timed swing.

use super::{Calculation, read};
use crate::failure::Failure;
use club::bench_model::Reading;
use club::pendulum::inertia;
use quantity::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The club and its period when hung near the grip end.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Input {
    mass_g: f64,
    /// From the grip end
    balance_in: f64,
    pivot_from_butt_in: f64,
    /// One swing there and back, small angle
    period_s: f64,
}

/// Inertia about three axes.
#[derive(Serialize, JsonSchema)]
pub(super) struct Output {
    inertia_pivot_kgcm2: f64,
    inertia_balance_kgcm2: f64,
    inertia_butt_kgcm2: f64,
    /// By what share the inertia about the grip end moves for 5 ms on the period
    relative_change_for_5_ms: f64,
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        let reading = Reading {
            // a pendulum does not ask how far the club reaches below its balance point
            length: Length::inches(60.0),
            mass: read::grams("mass_g", input.mass_g)?,
            balance: read::inches("balance_in", input.balance_in)?,
        };
        let swung =
            inertia(reading, read::inches("pivot_from_butt_in", input.pivot_from_butt_in)?, input.period_s)?;
        Ok(Output {
            inertia_pivot_kgcm2: swung.about_pivot.as_kg_cm2(),
            inertia_balance_kgcm2: swung.about_balance.as_kg_cm2(),
            inertia_butt_kgcm2: swung.about_butt.as_kg_cm2(),
            relative_change_for_5_ms: swung.relative_change_for_timing,
        })
    }
}
