//! `calc grip`: outside size of a grip from core, butt and build-up layers.

use super::{Calculation, read};
use crate::failure::Failure;
use club::grip_size::{GripBuild, USUAL_LAYER, USUAL_SIZE};
use club::rules;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What goes on top of each other.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Input {
    /// Inside diameter of the grip
    core_in: f64,
    /// Outside diameter of the butt
    butt_in: f64,
    /// Outside diameter the grip is made to have 2 in down on a butt equal to its core; 0.900 when not given
    nominal_in: Option<f64>,
    /// Build-up layers, the two-way tape not counted; 0 when not given
    layers: Option<u32>,
    /// What a layer adds to the diameter; 0.0125 when not given
    per_layer_in: Option<f64>,
}

/// Outside size 2 in down from the cap.
#[derive(Serialize, JsonSchema)]
pub(super) struct Output {
    size_2in_down_in: f64,
    /// Over the grip's own nominal size
    over_standard_in: f64,
    /// Least and most it may come to
    range_in: [f64; 2],
    /// Whether it may come out over the 1.75 in the Rules allow; the committee decides
    over_the_rule: bool,
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        let nominal = input.nominal_in.unwrap_or(USUAL_SIZE.as_inches());
        let build = GripBuild {
            core: read::inches("core_in", input.core_in)?,
            butt: read::inches("butt_in", input.butt_in)?,
            nominal: read::inches("nominal_in", nominal)?,
            layers: input.layers.unwrap_or(0),
            per_layer: read::inches("per_layer_in", input.per_layer_in.unwrap_or(USUAL_LAYER.as_inches()))?,
        };
        if build.layers > 20 {
            return Err(Failure::bad_input(format!("expected up to 20 layers, found {}", build.layers))
                .field("layers"));
        }
        let size = build.size()?;
        Ok(Output {
            size_2in_down_in: size.size.as_inches(),
            over_standard_in: size.size.as_inches() - nominal,
            range_in: [size.range.0.as_inches(), size.range.1.as_inches()],
            over_the_rule: size.range.1 > rules::MOST_GRIP_SECTION,
        })
    }
}
