//! `calc pool`: what several studios' errors of the rule say together.

use super::Calculation;
use crate::failure::Failure;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use trial::Pooled;

/// Studios enough for any chain. House choice.
const MOST: usize = 1000;

/// What each studio learnt from its own golfers.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Input {
    studios: Vec<Studio>,
}

/// Mean and standard deviation of the rule's error at its anchor.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Studio {
    intercept_in: f64,
    sd_in: f64,
}

/// What they have in common, how they differ, and what holds in each.
#[derive(Serialize, JsonSchema)]
pub(super) struct Output {
    together: Learnt,
    /// Standard deviation of what is a studio's own
    between: Learnt,
    studios: Vec<Learnt>,
}

/// A number that was learnt, with the interval that holds it 80 times in 100.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Learnt {
    mean_in: f64,
    sd_in: f64,
    low_in: f64,
    high_in: f64,
}

impl From<&trial::Learnt> for Learnt {
    fn from(learnt: &trial::Learnt) -> Self {
        Self { mean_in: learnt.mean, sd_in: learnt.sd, low_in: learnt.low, high_in: learnt.high }
    }
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        if input.studios.len() > MOST {
            return Err(Failure::bad_input(format!(
                "expected at most {MOST} studios, found {}",
                input.studios.len()
            ))
            .field("studios"));
        }
        let studios: Vec<(f64, f64)> =
            input.studios.iter().map(|studio| (studio.intercept_in, studio.sd_in)).collect();
        let pooled = Pooled::of(&studios)?;
        Ok(Output {
            together: (&pooled.together_in).into(),
            between: (&pooled.between_in).into(),
            studios: pooled.studios_in.iter().map(Learnt::from).collect(),
        })
    }
}
