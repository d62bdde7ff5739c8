//! All that a flight depends on besides the launch.

use super::error::{FlightError, within};
use super::{Aerodynamics, Air, Ball, Wind};

/// How closely the equation of motion is followed.
///
/// A step is taken when its error, component by component, is within `absolute + relative · size` (root mean square of
/// the seven: m, m/s, rad/s).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accuracy {
    /// Share of each component.
    pub relative: f64,
    /// Added to it, in the component's own unit.
    pub absolute: f64,
}

impl Default for Accuracy {
    /// Carry to better than a millimetre, found by refining; see `a_finer_tolerance_moves_no_carry_by_a_millimetre`.
    fn default() -> Self {
        Self { relative: 1e-7, absolute: 1e-7 }
    }
}

/// Ball, air, wind, target and accuracy. Default: the ball and air of the Overall Distance Standard, still, on the level.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Conditions {
    /// The ball as a body.
    pub ball: Ball,
    /// What the air does to it.
    pub aerodynamics: Aerodynamics,
    /// The air.
    pub air: Air,
    /// The wind; its height is counted from the lower of tee and target.
    pub wind: Wind,
    /// Height of the target above the tee, m; below is negative.
    pub landing_height_m: f64,
    /// How closely the flight is followed.
    pub accuracy: Accuracy,
}

impl Conditions {
    /// Refuses what cannot be meant. Kind of the ranges: definition of what the tool takes.
    pub(super) fn check(&self) -> Result<(), FlightError> {
        self.ball.check()?;
        self.aerodynamics.check()?;
        self.air.check()?;
        self.wind.check()?;
        within("height of the target above the tee", self.landing_height_m, -300.0, 300.0, "m")?;
        within("relative tolerance", self.accuracy.relative, 1e-13, 1e-3, "")?;
        within("absolute tolerance", self.accuracy.absolute, 1e-13, 1e-3, "")
    }
}
