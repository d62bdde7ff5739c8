//! A whole shot: what the head does to the ball, and how the ball then flies.

use crate::flight::{Conditions, FlightError, Flown, Landing, Launch, fly};
use crate::impact::{Delivery, Head, Impact, ImpactError, strike};

/// A struck ball and where it came down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shot {
    /// The impact.
    pub impact: Impact,
    /// The flight.
    pub flown: Flown,
}

/// Why a shot could not be worked out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ShotError {
    /// The head or its delivery.
    #[error(transparent)]
    Impact(#[from] ImpactError),
    /// The flight.
    #[error(transparent)]
    Flight(#[from] FlightError),
}

impl ShotError {
    /// Says what to do next.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Impact(error) => error.hint().to_owned(),
            Self::Flight(error) => error.hint(),
        }
    }
}

impl Shot {
    /// Carry along the target line, m.
    #[must_use]
    pub fn carry_m(&self) -> f64 {
        self.flown.landing.carry_m
    }

    /// Where it comes down beside the target line, right +, m.
    #[must_use]
    pub fn right_m(&self) -> f64 {
        -self.flown.landing.left_m
    }

    /// The landing.
    #[must_use]
    pub fn landing(&self) -> &Landing {
        &self.flown.landing
    }
}

/// Strikes a ball and flies it, for a right-hander.
///
/// # Errors
/// [`ShotError`] as [`strike`] and [`fly`] have it.
pub fn hit(head: &Head, delivery: &Delivery, conditions: &Conditions) -> Result<Shot, ShotError> {
    let impact = strike(head, delivery)?;
    let flown = fly(&launch_of(&impact), conditions)?;
    Ok(Shot { impact, flown })
}

/// The launch an impact gives. Spin along the ball's heading does nothing to it in the air and is left out.
#[must_use]
pub fn launch_of(impact: &Impact) -> Launch {
    Launch {
        speed_mps: impact.ball_speed_mps,
        launch_angle_deg: impact.launch_deg,
        azimuth_left_deg: -impact.start_right_deg,
        spin_rpm: impact.back_spin_rpm.hypot(impact.side_spin_right_rpm),
        axis_tilt_right_deg: impact.axis_tilt_right_deg,
    }
}
