//! Wind: which way the air goes, and how it slackens toward the ground.

use super::error::{FlightError, within};

/// Height at which a wind with shear has its named speed, m. Standard: the height meteorologists measure wind at; from memory.
const REFERENCE_HEIGHT_M: f64 = 10.0;

/// Level wind. Default: still air.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Wind {
    /// Velocity of the air toward the target, m/s; a headwind is negative.
    pub toward_target_mps: f64,
    /// Velocity of the air to the left, m/s.
    pub to_left_mps: f64,
    /// Exponent of a power law (height / 10 m)^p; none for a wind that is the same at all heights.
    ///
    /// Open ground is usually given 0.14, rough ground up to 0.4: common practice, no source.
    pub shear_exponent: Option<f64>,
}

impl Wind {
    /// Returns the velocity of the air (toward the target, to the left), m/s, at a height above the ground.
    #[must_use]
    pub fn at_height(&self, height_m: f64) -> (f64, f64) {
        let share = self
            .shear_exponent
            .map_or(1.0, |exponent| (height_m.max(0.0) / REFERENCE_HEIGHT_M).powf(exponent));
        (self.toward_target_mps * share, self.to_left_mps * share)
    }

    /// Winds people play in, with room. Kind of the ranges: definition of what the tool takes.
    pub(super) fn check(&self) -> Result<(), FlightError> {
        within("wind toward the target", self.toward_target_mps, -40.0, 40.0, "m/s")?;
        within("wind to the left", self.to_left_mps, -40.0, 40.0, "m/s")?;
        self.shear_exponent.map_or(Ok(()), |exponent| within("wind shear exponent", exponent, 0.05, 1.0, ""))
    }
}
