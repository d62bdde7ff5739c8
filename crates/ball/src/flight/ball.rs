//! The ball as a body: mass, size and resistance to being spun.

use super::error::{FlightError, within};
use std::f64::consts::PI;

/// Most a ball may weigh, kg. Standard: Rules of Golf 2016, Appendix III.
pub const LARGEST_MASS_KG: f64 = 0.045_93;
/// Least diameter of a ball, m. Standard: Rules of Golf 2016, Appendix III.
pub const SMALLEST_DIAMETER_M: f64 = 0.042_67;
/// Moment of inertia of a ball of 45.9 g, kg·m². Published: Proceedings 2020, 49(1), 47, Table 1, where it is 83.63 g·cm².
pub const INERTIA_PUBLISHED_KG_M2: f64 = 83.63e-7;
/// Moment of inertia of a uniform sphere as a share of m r². Definition.
pub const UNIFORM_SPHERE_INERTIA_SHARE: f64 = 0.4;

/// A golf ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ball {
    /// Its mass, kg.
    pub mass_kg: f64,
    /// Its diameter, m.
    pub diameter_m: f64,
}

impl Default for Ball {
    /// The heaviest and smallest ball the Rules allow, which is what balls are made to.
    fn default() -> Self {
        Self { mass_kg: LARGEST_MASS_KG, diameter_m: SMALLEST_DIAMETER_M }
    }
}

impl Ball {
    /// Returns half the diameter, m.
    #[must_use]
    pub fn radius_m(&self) -> f64 {
        self.diameter_m / 2.0
    }

    /// Returns the area the air meets, m².
    #[must_use]
    pub fn frontal_area_m2(&self) -> f64 {
        PI * self.diameter_m * self.diameter_m / 4.0
    }

    /// Returns the moment of inertia about a diameter, kg·m², as of a uniform sphere.
    #[must_use]
    pub fn inertia_kg_m2(&self) -> f64 {
        UNIFORM_SPHERE_INERTIA_SHARE * self.mass_kg * self.radius_m() * self.radius_m()
    }

    /// What can be a ball at all, not what conforms. Kind of the ranges: definition of what the tool takes.
    pub(super) fn check(&self) -> Result<(), FlightError> {
        within("mass of the ball", self.mass_kg, 0.02, 0.1, "kg")?;
        within("diameter of the ball", self.diameter_m, 0.03, 0.06, "m")
    }
}
