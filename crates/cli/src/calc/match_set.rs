//! `calc match`: head masses across a set for one swingweight or one inertia.

use super::{Calculation, read};
use crate::failure::Failure;
use club::bench_model::FERRULE_AND_GLUE;
use club::hold::Held;
use club::set_match::{MatchedClub, ReferenceClub, heads};
use quantity::{Length, Mass};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The club to match and the lengths of the set.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Input {
    lengths_in: Vec<f64>,
    /// The club the set is matched to; also taken as `seven_iron`
    #[serde(alias = "seven_iron")]
    reference: Reference,
    /// The number held; swingweight when not given
    hold: Option<HoldWord>,
    /// Taken when true: the shaft's mass goes with its cut length
    shaft_mass_scales_with_length: Option<bool>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Reference {
    length_in: f64,
    head_g: f64,
    /// Cut shaft mass
    shaft_g: f64,
    /// Cut shaft length; length less cap and bore when not given
    shaft_len_in: Option<f64>,
    grip_g: f64,
    /// 3 g when not given
    ferrule_epoxy_g: Option<f64>,
}

#[derive(Deserialize, JsonSchema, Clone, Copy)]
#[serde(rename_all = "lowercase")]
enum HoldWord {
    Swingweight,
    Inertia,
}

/// One row for each length, in the order given.
#[derive(Serialize, JsonSchema)]
pub(super) struct Output {
    rows: Vec<Row>,
    /// Differences of neighbouring head masses
    head_step_g: Vec<f64>,
}

#[derive(Serialize, JsonSchema)]
struct Row {
    /// The iron it would be, half an inch a step from a seven-iron of the reference's length
    #[serde(skip_serializing_if = "Option::is_none")]
    club: Option<String>,
    length_in: f64,
    shaft_g: f64,
    head_g: f64,
    mass_g: f64,
    balance_in: f64,
    swingweight: String,
    inertia_butt_kgcm2: f64,
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        if input.shaft_mass_scales_with_length == Some(false) {
            return Err(Failure::bad_input("expected true: the shaft's mass goes with its cut length")
                .field("shaft_mass_scales_with_length"));
        }
        if input.lengths_in.is_empty() || input.lengths_in.len() > 40 {
            let found = input.lengths_in.len();
            return Err(
                Failure::bad_input(format!("expected 1 to 40 lengths, found {found}")).field("lengths_in")
            );
        }
        let of = &input.reference;
        let reference = ReferenceClub {
            length: read::inches("length_in", of.length_in)?,
            head: read::some_grams("head_g", of.head_g)?,
            shaft: read::some_grams("shaft_g", of.shaft_g)?,
            shaft_length: of
                .shaft_len_in
                .map(|length| read::inches_within("shaft_len_in", length, 10.0..=60.0))
                .transpose()?,
            grip: read::some_grams("grip_g", of.grip_g)?,
            ferrule_and_glue: of
                .ferrule_epoxy_g
                .map_or(Ok(FERRULE_AND_GLUE), |mass| read::some_grams("ferrule_epoxy_g", mass))?,
        };
        let lengths: Result<Vec<Length>, Failure> =
            input.lengths_in.iter().map(|length| read::inches("lengths_in", *length)).collect();
        let hold = match input.hold {
            Some(HoldWord::Inertia) => Held::Inertia,
            Some(HoldWord::Swingweight) | None => Held::Swingweight,
        };
        let set = heads(&reference, &lengths?, hold)?;
        Ok(Output {
            rows: set.iter().map(|club| row(club, reference.length)).collect(),
            head_step_g: set.windows(2).map(|pair| (pair[1].head - pair[0].head).as_grams()).collect(),
        })
    }
}

fn row(club: &MatchedClub, seven_iron: Length) -> Row {
    Row {
        club: club.iron_in_a_set_from(seven_iron),
        length_in: club.length.as_inches(),
        shaft_g: club.shaft.as_grams(),
        head_g: club.head.as_grams(),
        mass_g: Mass::as_grams(club.whole.mass),
        balance_in: club.whole.balance().as_inches(),
        swingweight: club.swingweight().label(1),
        inertia_butt_kgcm2: club.inertia().as_kg_cm2(),
    }
}
