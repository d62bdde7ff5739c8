//! `calc lie`: where a wrong lie points the face, or what a change of length asks of the lie.

use super::{Calculation, read};
use crate::failure::Failure;
use club::lie::{FaceDelivery, FacePointing, HAND_CENTRE, lie_wanted};
use quantity::{Angle, Length};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Inches in a yard: definition.
const YARD_IN: f64 = 36.0;

/// A lie error (`loft_deg`, `lie_error_deg`) or a change of length (`length_in`, `lie_deg`, `change_in`).
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Input {
    loft_deg: Option<f64>,
    /// Upright +
    lie_error_deg: Option<f64>,
    /// Hands ahead +, takes loft away
    lean_deg: Option<f64>,
    /// Open +
    face_open_deg: Option<f64>,
    carry_yd: Option<f64>,
    length_in: Option<f64>,
    lie_deg: Option<f64>,
    /// Longer +; also taken as `extend_in`
    #[serde(alias = "extend_in")]
    change_in: Option<f64>,
    /// How far below the grip end the hands are, before and after; 0 when not given
    grip_down_in: Option<f64>,
}

/// Directions are toward the golfer's lead side +.
#[derive(Serialize, JsonSchema, Default)]
pub(super) struct Output {
    /// Where the face points. The ball starts at 0.7 to 0.8 of it off an iron and 0.6 to 0.7 off a wedge, by this tool's
    /// own model of impact, and curves the same way: `calc impact` works it out
    #[serde(skip_serializing_if = "Option::is_none")]
    start_direction_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    vertical_loft_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    offline_yd: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lie_keep_hand_height_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lie_keep_ball_distance_deg: Option<f64>,
    /// The trade's rule of one degree for half an inch, without sign
    #[serde(skip_serializing_if = "Option::is_none")]
    trade_rule_deg: Option<f64>,
    /// The same as `lie_keep_hand_height_deg` when the whole club is reckoned
    #[serde(skip_serializing_if = "Option::is_none")]
    keep_height_butt_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    keep_height_hand_centre_5in_down_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    keep_ball_distance_butt_deg: Option<f64>,
    /// How much too upright an unbent head sits if the hands keep their height
    #[serde(skip_serializing_if = "Option::is_none")]
    effective_upright_if_height_kept_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    start_direction_deg_if_not_bent: Option<f64>,
    /// At `carry_yd`, along the face's direction
    #[serde(skip_serializing_if = "Option::is_none")]
    start_offline_yd_if_not_bent: Option<f64>,
    /// The same when `carry_yd` is 150
    #[serde(skip_serializing_if = "Option::is_none")]
    start_offline_yd_at_150: Option<f64>,
    /// The head's own lie, which a longer shaft does not change
    #[serde(skip_serializing_if = "Option::is_none")]
    static_lie_after_extension_deg: Option<f64>,
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        match (input.lie_error_deg, input.change_in) {
            (Some(error), None) => direction(&input, error),
            (None, Some(change)) => change_of_length(&input, change),
            _ => Err(Failure::bad_input(
                "expected lie_error_deg with loft_deg, or change_in with length_in and lie_deg",
            )
            .hint("Ask for one of the two.")),
        }
    }
}

fn direction(input: &Input, lie_error: f64) -> Result<Output, Failure> {
    let loft = read::needed("loft_deg", input.loft_deg)?;
    let face = face(input, loft, read::degrees("lie_error_deg", lie_error)?)?;
    Ok(Output {
        start_direction_deg: Some(face.toward_lead.as_degrees()),
        vertical_loft_deg: Some(face.vertical_loft.as_degrees()),
        offline_yd: offline_yd(input, &face)?,
        ..Output::default()
    })
}

fn face(input: &Input, loft: f64, lie_error: Angle) -> Result<FacePointing, Failure> {
    Ok(FaceDelivery {
        loft: read::degrees_within("loft_deg", loft, 0.0..=80.0)?,
        lie_error,
        lean: read::degrees("lean_deg", input.lean_deg.unwrap_or(0.0))?,
        face_open: read::degrees("face_open_deg", input.face_open_deg.unwrap_or(0.0))?,
    }
    .pointing())
}

fn offline_yd(input: &Input, face: &FacePointing) -> Result<Option<f64>, Failure> {
    let Some(carry) = input.carry_yd else {
        return Ok(None);
    };
    if !(0.0..=400.0).contains(&carry) {
        return Err(Failure::bad_input(format!("expected 0 to 400 yd, found {carry} yd")).field("carry_yd"));
    }
    Ok(Some(face.offline_at(Length::inches(carry * YARD_IN)).as_inches() / YARD_IN))
}

fn change_of_length(input: &Input, change: f64) -> Result<Output, Failure> {
    let length = read::inches("length_in", read::needed("length_in", input.length_in)?)?;
    let lie = read::degrees("lie_deg", read::needed("lie_deg", input.lie_deg)?)?;
    let change = read::inches("change_in", change)?;
    let down = read::inches("grip_down_in", input.grip_down_in.unwrap_or(0.0))?;
    let held = lie_wanted(length, lie, change, down)?;
    let whole = lie_wanted(length, lie, change, Length::ZERO)?;
    let hands = lie_wanted(length, lie, change, HAND_CENTRE)?;
    let too_upright = lie - whole.keeping_hand_height;
    let face = input.loft_deg.map(|loft| face(input, loft, too_upright)).transpose()?;
    let offline = face.map_or(Ok(None), |face| offline_yd(input, &face))?;
    let is_150 = input.carry_yd.is_some_and(|carry| (carry - 150.0).abs() < 1e-9);
    Ok(Output {
        lie_keep_hand_height_deg: Some(held.keeping_hand_height.as_degrees()),
        lie_keep_ball_distance_deg: Some(held.keeping_ball_distance.as_degrees()),
        trade_rule_deg: Some((held.by_trade_rule - lie).abs().as_degrees()),
        keep_height_butt_deg: Some(whole.keeping_hand_height.as_degrees()),
        keep_height_hand_centre_5in_down_deg: Some(hands.keeping_hand_height.as_degrees()),
        keep_ball_distance_butt_deg: Some(whole.keeping_ball_distance.as_degrees()),
        effective_upright_if_height_kept_deg: Some(too_upright.as_degrees()),
        start_direction_deg_if_not_bent: face.map(|face| face.toward_lead.as_degrees()),
        start_offline_yd_if_not_bent: offline,
        start_offline_yd_at_150: offline.filter(|_| is_150),
        static_lie_after_extension_deg: Some(lie.as_degrees()),
        ..Output::default()
    })
}
