//! `calc statics`: mass, balance, swingweight and inertia, from parts or from the whole club.

use super::{Calculation, read};
use crate::failure::Failure;
use club::assembly::{
    Assembly, Extension, GRIP_BALANCE_FRACTION, GRIP_LENGTH, HEAD_BACK, HeadPart, PointPart,
};
use club::assembly::{RodPart, SHAFT_BALANCE_FRACTION};
use club::bench_model::{Reading, grip};
use club::{MassMoments, Swingweight};
use quantity::{Length, Mass};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A club from parts (`head_g`, `shaft_g`, `grip_g`) or as a whole (`mass_g`, `balance_in`).
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Input {
    /// Playing length, an extension included
    length_in: f64,
    head_g: Option<f64>,
    shaft_g: Option<f64>,
    /// With a whole club: lets the inertia be inferred
    grip_g: Option<f64>,
    /// Shaft length; to half an inch short of the length mark when not given
    shaft_length_in: Option<f64>,
    /// Where the shaft balances as a share of its length; 0.50 when not given
    shaft_balance_fraction: Option<f64>,
    /// Grip length; 10.5 in when not given
    grip_length_in: Option<f64>,
    /// Where the grip balances as a share of its length; 0.42 when not given
    grip_cg_fraction: Option<f64>,
    /// Head's centre of mass above the length mark; 0.75 in when not given
    head_back_in: Option<f64>,
    /// Head's centre of mass off the shaft line; 0 when not given
    head_perp_in: Option<f64>,
    /// How much of the length is an extension
    extension_in: Option<f64>,
    /// Mass of the extension piece
    extension_g: Option<f64>,
    /// Small masses: tip weight, tape, ferrule and glue, butt weight
    #[serde(default)]
    extra: Vec<Extra>,
    /// Total mass, of a whole club
    mass_g: Option<f64>,
    /// Balance point from the grip end, of a whole club
    balance_in: Option<f64>,
}

/// A small mass at one place.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Extra {
    mass_g: f64,
    /// From the grip end
    at_in: f64,
}

/// What scale and edge would read.
#[derive(Serialize, JsonSchema)]
pub(super) struct Output {
    mass_g: f64,
    balance_in: f64,
    moment_in_oz: f64,
    swingweight: String,
    /// Points above A0
    swingweight_points: f64,
    /// About the grip end; of a whole club only where the grip's mass is given
    #[serde(skip_serializing_if = "Option::is_none")]
    inertia_butt_kgcm2: Option<f64>,
    /// About the balance point on the shaft line
    #[serde(skip_serializing_if = "Option::is_none")]
    inertia_cg_kgcm2: Option<f64>,
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        match (input.mass_g, input.balance_in) {
            (None, None) => {
                let club = assembled(&input)?;
                if club.mass <= Mass::ZERO {
                    return Err(Failure::bad_input("expected parts that weigh something").field("head_g"));
                }
                Ok(output(&club, true))
            }
            (Some(mass_g), Some(balance_in)) => whole(&input, mass_g, balance_in),
            (Some(_), None) => Err(missing("balance_in")),
            (None, Some(_)) => Err(missing("mass_g")),
        }
    }
}

fn missing(field: &str) -> Failure {
    Failure::bad_input(format!("expected {field}, found nothing"))
        .field(field)
        .hint("Give parts (head_g, shaft_g, grip_g) or a whole club (mass_g and balance_in).")
}

fn whole(input: &Input, mass_g: f64, balance_in: f64) -> Result<Output, Failure> {
    let has_parts =
        [input.head_g, input.shaft_g, input.shaft_length_in, input.extension_in, input.extension_g]
            .iter()
            .any(Option::is_some);
    if has_parts || !input.extra.is_empty() {
        return Err(Failure::bad_input("expected parts or a whole club, found both")
            .field("mass_g")
            .hint("Leave out mass_g and balance_in, or everything that tells of parts."));
    }
    let reading = Reading {
        length: read::inches("length_in", input.length_in)?,
        mass: read::grams("mass_g", mass_g)?,
        balance: read::inches("balance_in", balance_in)?,
    }
    .checked()?;
    match input.grip_g {
        Some(grip_g) => {
            let parts = reading.parts(grip(read::some_grams("grip_g", grip_g)?))?;
            Ok(output(&(parts.grip + parts.rest), true))
        }
        None => Ok(output(&MassMoments::point(reading.mass, reading.balance), false)),
    }
}

fn assembled(input: &Input) -> Result<MassMoments, Failure> {
    let part = |field: &'static str, value: Option<f64>| {
        read::some_grams(field, value.ok_or_else(|| missing(field))?)
    };
    let length_or = |field: &str, value: Option<f64>, usual: Length| {
        value.map_or(Ok(usual), |value| read::inches(field, value))
    };
    let extension = match (input.extension_in, input.extension_g) {
        (None, None) => None,
        (length, mass) => Some(Extension {
            length: read::inches_within("extension_in", length.unwrap_or(0.0), 0.0..=12.0)?,
            mass: read::grams_within("extension_g", mass.unwrap_or(0.0), 0.0..=200.0)?,
        }),
    };
    let points: Result<Vec<PointPart>, Failure> = input
        .extra
        .iter()
        .map(|extra| {
            Ok(PointPart {
                mass: read::some_grams("extra", extra.mass_g)?,
                at: read::inches_within("extra", extra.at_in, 0.0..=input.length_in)?,
            })
        })
        .collect();
    let shaft_length = input
        .shaft_length_in
        .map(|length| read::inches_within("shaft_length_in", length, 5.0..=60.0))
        .transpose()?;
    let club = Assembly {
        length: read::inches("length_in", input.length_in)?,
        head: HeadPart {
            mass: part("head_g", input.head_g)?,
            back: length_or("head_back_in", input.head_back_in, HEAD_BACK)?,
            off_line: length_or("head_perp_in", input.head_perp_in, Length::ZERO)?,
        },
        shaft: RodPart {
            mass: part("shaft_g", input.shaft_g)?,
            length: shaft_length,
            balance_fraction: input.shaft_balance_fraction.unwrap_or(SHAFT_BALANCE_FRACTION),
        },
        grip: RodPart {
            mass: part("grip_g", input.grip_g)?,
            length: Some(length_or("grip_length_in", input.grip_length_in, GRIP_LENGTH)?),
            balance_fraction: input.grip_cg_fraction.unwrap_or(GRIP_BALANCE_FRACTION),
        },
        extension,
        points: points?,
    };
    Ok(club.moments()?)
}

fn output(club: &MassMoments, inertia_is_known: bool) -> Output {
    let scale = Swingweight::of(club);
    Output {
        mass_g: club.mass.as_grams(),
        balance_in: club.balance().as_inches(),
        moment_in_oz: scale.moment().as_inch_ounces(),
        swingweight: scale.label(2),
        swingweight_points: scale.points(),
        inertia_butt_kgcm2: inertia_is_known.then(|| club.second.as_kg_cm2()),
        inertia_cg_kgcm2: inertia_is_known.then(|| club.inertia_about_balance().as_kg_cm2()),
    }
}
