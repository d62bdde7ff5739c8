//! `calc flight`: a launched ball, through the air and, where ground is given, to where it lies.
//!
//! x to the target, y left, z up; azimuth and side are + to the left, the tilt of the spin axis is + when the ball curves
//! right. Nothing here knows of a golfer's hand.

use super::Calculation;
use super::conditions::{RunOutput, asked_in_the_air, run_on};
use crate::failure::Failure;
use ball::flight::{Accuracy, CARRY_KNOWN_WITHIN_M, Launch, Moment, fly, fly_along, outside_fitted_range};
use quantity::Distance;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

asked_in_the_air! {
    /// A launch and the air it goes into: x to the target, y left, z up.
    struct Input {
        /// Speed of the ball
        #[serde(alias = "speed")]
        speed_mps: f64,
        /// Above the level
        launch_deg: f64,
        /// Left of the target +; 0 when not given
        #[serde(default)]
        azim_deg: f64,
        /// Whole rate of spin
        spin_rpm: f64,
        /// Of the spin axis, curves right +; 0, pure backspin, when not given
        #[serde(default)]
        tilt_deg: f64,
        /// How closely the flight is followed, a share of each step; 1e-7 when not given
        tolerance: Option<f64>,
        /// So many points of the way, at even times; none when not given
        points: Option<usize>,
    }
}

/// Directions are + to the left.
#[derive(Serialize, JsonSchema)]
pub(super) struct Output {
    /// Distance along the target line where it comes down through the target's height
    carry_m: f64,
    carry_yd: f64,
    /// How far a ball nobody has measured may be off at a full shot, either way
    carry_known_within_m: f64,
    /// The same as a sentence to be shown with the carry
    carry_caution: String,
    /// From the tee to where it comes down, over the ground
    distance_m: f64,
    side_left_m: f64,
    apex_m: f64,
    apex_x_m: f64,
    time_s: f64,
    land_angle_deg: f64,
    land_speed_mps: f64,
    land_spin_rpm: f64,
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    run: Option<RunOutput>,
    /// What of the launch lies outside what drag and lift were fitted on
    #[serde(skip_serializing_if = "Vec::is_empty")]
    outside_fitted_range: Vec<String>,
    /// Time, s, and place toward the target, to the left and up, m
    #[serde(skip_serializing_if = "Vec::is_empty")]
    points: Vec<[f64; 4]>,
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        let mut conditions = input.in_the_air().conditions()?;
        if let Some(tolerance) = input.tolerance {
            conditions.accuracy = Accuracy { relative: tolerance, absolute: tolerance };
        }
        let launch = Launch {
            speed_mps: input.speed_mps,
            launch_angle_deg: input.launch_deg,
            azimuth_left_deg: input.azim_deg,
            spin_rpm: input.spin_rpm,
            axis_tilt_right_deg: input.tilt_deg,
        };
        let (flown, points) = match input.points {
            Some(points) => {
                let trajectory = fly_along(&launch, &conditions)?;
                (*trajectory.flown(), trajectory.at_even_times(points)?)
            }
            None => (fly(&launch, &conditions)?, Vec::new()),
        };
        let landing = &flown.landing;
        Ok(Output {
            carry_m: landing.carry_m,
            carry_yd: Distance::metres(landing.carry_m).as_yards(),
            carry_known_within_m: CARRY_KNOWN_WITHIN_M,
            carry_caution: carry_caution(),
            distance_m: landing.carry_m.hypot(landing.left_m),
            side_left_m: landing.left_m + 0.0,
            apex_m: flown.apex.height_m,
            apex_x_m: flown.apex.x_m,
            time_s: landing.time_s,
            land_angle_deg: landing.angle_deg,
            land_speed_mps: landing.speed_mps(),
            land_spin_rpm: landing.spin_rpm,
            run: run_on(input.ground, landing, &conditions, 1.0)?,
            outside_fitted_range: outside_fitted_range(&launch).iter().map(ToString::to_string).collect(),
            points: points
                .iter()
                .map(|Moment { time_s, place_m: [x, y, z], .. }| [*time_s, *x, *y, *z])
                .collect(),
        })
    }
}

fn carry_caution() -> String {
    format!(
        "Balls differ in drag: one that nobody has measured may carry {:.0} yd more or less at a full shot.",
        Distance::metres(CARRY_KNOWN_WITHIN_M).as_yards()
    )
}
