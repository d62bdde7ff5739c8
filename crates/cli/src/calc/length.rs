//! `calc length`: six-iron length and the set from knuckle heights.

use super::{Calculation, OneOrMore, read};
use crate::failure::Failure;
use fitting::{BodyReadings, Sex, Shoes, StaticRule, USUAL_CLUBS, target};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Knuckle heights and what helps to judge them.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Input {
    /// Floor to the middle knuckle of the lead hand; one reading or several
    knuckle_height_in: OneOrMore,
    /// Stature without shoes
    stature_in: Option<f64>,
    /// Floor to wrist crease, in the same shoes as the knuckle height
    wrist_height_in: Option<f64>,
    /// For believability only
    sex: Option<SexWord>,
    /// Shoes for knuckle and wrist height; on when not said
    shoes: Option<ShoesWord>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum SexWord {
    Man,
    Woman,
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum ShoesWord {
    On,
    Off,
}

/// The six-iron with its interval, and the set.
#[derive(Serialize, JsonSchema)]
pub(super) struct Output {
    six_iron_length_in: f64,
    /// Half the width of the interval that holds it 80 times in 100
    half_width_80_in: f64,
    clubs: Vec<ClubLength>,
    warnings: Vec<String>,
}

#[derive(Serialize, JsonSchema)]
struct ClubLength {
    club: String,
    length_in: f64,
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        let typed = input.knuckle_height_in.all();
        let heights: Result<Vec<_>, _> =
            typed.into_iter().map(|height| read::inches("knuckle_height_in", height)).collect();
        let optional =
            |field: &str, value: Option<f64>| value.map(|value| read::inches(field, value)).transpose();
        let readings = BodyReadings {
            stature: optional("stature_in", input.stature_in)?,
            wrist_height: optional("wrist_height_in", input.wrist_height_in)?,
            sex: match input.sex {
                Some(SexWord::Man) => Sex::Man,
                Some(SexWord::Woman) => Sex::Woman,
                None => Sex::NotSaid,
            },
            ..BodyReadings::of_knuckle(
                heights?,
                match input.shoes {
                    Some(ShoesWord::Off) => Shoes::Off,
                    Some(ShoesWord::On) | None => Shoes::On,
                },
            )
        };
        let target = target(&readings, &StaticRule::default()).map_err(first)?;
        let opinions = target.opinions.iter().filter(|opinion| opinion.disagrees());
        let repeat = target.repeat.map(|repeat| repeat.sentence().to_owned());
        Ok(Output {
            six_iron_length_in: target.six_iron.value.as_inches(),
            half_width_80_in: target.six_iron.half_width.as_inches(),
            clubs: USUAL_CLUBS
                .into_iter()
                .filter_map(|kind| {
                    let length_in = target.length_of(kind)?.as_inches();
                    Some(ClubLength { club: kind.to_string(), length_in })
                })
                .collect(),
            warnings: target
                .warnings
                .iter()
                .map(ToString::to_string)
                .chain(opinions.map(fitting::Opinion::sentence))
                .chain(repeat)
                .collect(),
        })
    }
}

/// A JSON answer has room for one error: the first.
fn first(problems: Vec<(&'static str, fitting::FittingError)>) -> Failure {
    match problems.into_iter().next() {
        Some((field, error)) => Failure::from(error).field(format!("{field}_in")),
        None => Failure::our_fault("a target was refused without a reason"),
    }
}
