//! `calc sole`: sole marks to degrees of lie, for each radius the sole may have.

use super::{Calculation, OneOrMore, read};
use crate::failure::Failure;
use club::sole_mark::{Bend, MarkSide, SoleMarks};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The mean mark of one day and the sole's curve.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Input {
    /// Distance of the mean mark from the middle of the sole
    mark_offset_in: f64,
    toward: Side,
    /// One radius or several
    sole_radius_in: OneOrMore,
    /// Standard deviation of the marks; 0 when not given
    marks_sd_in: Option<f64>,
    /// How many marks; 1 when not given
    marks_counted: Option<u32>,
}

#[derive(Deserialize, JsonSchema, Clone, Copy)]
#[serde(rename_all = "lowercase")]
enum Side {
    Toe,
    Heel,
}

/// Degrees for every radius, and which way to bend.
#[derive(Serialize, JsonSchema)]
pub(super) struct Output {
    by_radius: Vec<ForRadius>,
    /// Standard error of the mean mark
    se_of_mean_in: f64,
    /// `upright`, `flat` or `none`
    bend: &'static str,
    meaning: &'static str,
    /// The same degrees and standard errors under the names of the worked case
    #[serde(flatten)]
    by_name: BTreeMap<String, f64>,
}

#[derive(Serialize, JsonSchema)]
struct ForRadius {
    sole_radius_in: f64,
    degrees: f64,
    standard_error_deg: f64,
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        let radii = input.sole_radius_in.all();
        if radii.is_empty() {
            return Err(
                Failure::bad_input("expected one radius or several, found none").field("sole_radius_in")
            );
        }
        let sd = input.marks_sd_in.unwrap_or(0.0);
        if !(0.0..=3.0).contains(&sd) {
            return Err(Failure::bad_input(format!("expected 0 to 3 in, found {sd} in")).field("marks_sd_in"));
        }
        if !(0.0..=3.0).contains(&input.mark_offset_in) {
            return Err(Failure::bad_input(format!("expected 0 to 3 in, found {} in", input.mark_offset_in))
                .field("mark_offset_in")
                .hint("Give the distance without sign, and the side under \"toward\"."));
        }
        let counted = input.marks_counted.unwrap_or(1);
        if !(1..=1000).contains(&counted) {
            return Err(Failure::bad_input(format!("expected 1 to 1000 marks, found {counted}"))
                .field("marks_counted"));
        }
        let marks = SoleMarks {
            offset: read::inches("mark_offset_in", input.mark_offset_in)?,
            toward: match input.toward {
                Side::Toe => MarkSide::Toe,
                Side::Heel => MarkSide::Heel,
            },
            sd: read::inches("marks_sd_in", sd)?,
            counted,
        };
        let (bend, meaning) = match marks.bend() {
            Bend::Upright => ("upright", "delivered too flat: bend upright"),
            Bend::Flat => ("flat", "delivered too upright: bend flat"),
            Bend::Leave => ("none", "in the middle as far as these marks tell: leave it"),
        };
        let by_radius: Result<Vec<ForRadius>, Failure> = radii
            .into_iter()
            .map(|radius| {
                let error = marks.lie_error(read::inches("sole_radius_in", radius)?)?;
                Ok(ForRadius {
                    sole_radius_in: radius,
                    degrees: error.degrees.as_degrees(),
                    standard_error_deg: error.standard_error.as_degrees(),
                })
            })
            .collect();
        let by_radius = by_radius?;
        Ok(Output {
            by_name: by_radius.iter().flat_map(named).collect(),
            by_radius,
            se_of_mean_in: marks.standard_error().as_inches(),
            bend,
            meaning,
        })
    }
}

fn named(row: &ForRadius) -> [(String, f64); 2] {
    let radius = row.sole_radius_in.to_string();
    [
        (format!("degrees_if_sole_radius_{radius}_in"), row.degrees),
        (format!("se_deg_if_radius_{}", radius.replace('.', "_")), row.standard_error_deg),
    ]
}
