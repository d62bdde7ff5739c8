//! `calc carry`: a strike and the flight it gives, against the same club struck on the middle of its face.

use super::Calculation;
use super::conditions::{RunOutput, asked_in_the_air, run_on};
use super::impact;
use crate::failure::Failure;
use ball::impact::{Delivery, StrikePlace};
use ball::shot::{Shot, hit};
use ball::unknowns::{Setup, Spread, Unknowns};
use quantity::{Distance, Z_80};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

asked_in_the_air! {
    /// A strike, with the keys of `impact`, and the air the ball goes into.
    struct Input {
        strike: impact::Input,
    }
}

/// Directions are as seen along the target line, for either hand; intervals hold 80 in 100.
#[derive(Serialize, JsonSchema)]
pub(super) struct Output {
    ball_mps: f64,
    launch_deg: f64,
    azim_right_deg: f64,
    back_rpm: f64,
    side_rpm_right: f64,
    carry_m: f64,
    carry_yd: f64,
    /// What is not known of ball, air, head and delivery may make it this little
    carry_from_m: f64,
    carry_to_m: f64,
    side_left_m: f64,
    apex_m: f64,
    time_s: f64,
    land_angle_deg: f64,
    /// Against the same club struck on the middle of its face; negative when more is carried
    carry_loss_m: f64,
    carry_loss_from_m: f64,
    carry_loss_to_m: f64,
    /// Whether one ball and the day's air make a shot vary by more than that loss
    ball_and_air_vary_by_more: bool,
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    run: Option<RunOutput>,
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        let conditions = input.in_the_air().conditions()?;
        let (head, delivery) = input.strike.head_and_delivery()?;
        let mirror = if input.strike.is_left_handed() { -1.0 } else { 1.0 };
        let setup = Setup { head, delivery, conditions };
        let shot = struck(&setup)?;
        let lost = |setup: &Setup| -> Result<f64, Failure> {
            Ok(in_the_middle(setup)?.carry_m() - struck(setup)?.carry_m())
        };
        let runs = Unknowns::with_head_speed_known_to(Unknowns::HEAD_SPEED_MEASURED).runs(&setup);
        let (mut carries, mut losses) = ([0.0; _], [0.0; _]);
        for (run, (carry, loss)) in runs.iter().zip(carries.iter_mut().zip(&mut losses)) {
            *carry = struck(run)?.carry_m();
            *loss = lost(run)?;
        }
        let (carry_spread, loss_spread) = (Spread::of(&carries), Spread::of(&losses));
        let (carry_m, carry_loss_m) = (shot.carry_m(), lost(&setup)?);
        let (carry_off, loss_off) = (Z_80 * carry_spread.sd, Z_80 * loss_spread.sd);
        Ok(Output {
            ball_mps: shot.impact.ball_speed_mps,
            launch_deg: shot.impact.launch_deg,
            azim_right_deg: shot.impact.start_right_deg * mirror + 0.0,
            back_rpm: shot.impact.back_spin_rpm,
            side_rpm_right: shot.impact.side_spin_right_rpm * mirror + 0.0,
            carry_m,
            carry_yd: Distance::metres(carry_m).as_yards(),
            carry_from_m: carry_m - carry_off,
            carry_to_m: carry_m + carry_off,
            side_left_m: -shot.right_m() * mirror + 0.0,
            apex_m: shot.flown.apex.height_m,
            time_s: shot.landing().time_s,
            land_angle_deg: shot.landing().angle_deg,
            carry_loss_m,
            carry_loss_from_m: carry_loss_m - loss_off,
            carry_loss_to_m: carry_loss_m + loss_off,
            ball_and_air_vary_by_more: carry_loss_m.abs() < Z_80 * carry_spread.ball_and_air_sd,
            run: run_on(input.ground, shot.landing(), &setup.conditions, mirror)?,
        })
    }
}

fn struck(setup: &Setup) -> Result<Shot, Failure> {
    Ok(hit(&setup.head, &setup.delivery, &setup.conditions)?)
}

fn in_the_middle(setup: &Setup) -> Result<Shot, Failure> {
    let delivery = Delivery { place: StrikePlace::default(), ..setup.delivery };
    Ok(hit(&setup.head, &delivery, &setup.conditions)?)
}
