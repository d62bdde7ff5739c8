//! Launches like those the flight model was fitted on, and those it only stretches to.

use super::Launch;
use std::fmt;

/// A number of a launch outside what the model was fitted on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outside {
    /// Which number.
    pub what: &'static str,
    /// The value found.
    pub found: f64,
    /// Least of the fit.
    pub least: f64,
    /// Most of the fit.
    pub most: f64,
    /// Its unit.
    pub unit: &'static str,
}

impl fmt::Display for Outside {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { what, found, least, most, unit } = self;
        write!(f, "{what} of {found} {unit} is outside the {least} to {most} {unit} the model was fitted on")
    }
}

/// Says which numbers of a launch lie outside the tour averages and test shots the model was fitted on.
///
/// Kind of the ranges: derived, the span of the shots named in `docs/derivations/flight.md`, rounded outward.
#[must_use]
pub fn outside_fitted_range(launch: &Launch) -> Vec<Outside> {
    [
        ("ball speed", launch.speed_mps, 45.0, 79.0, "m/s"),
        ("launch angle", launch.launch_angle_deg, 10.0, 25.0, "deg"),
        ("spin rate", launch.spin_rpm, 2_500.0, 9_500.0, "rpm"),
    ]
    .into_iter()
    .filter(|(_, found, least, most, _)| !(least..=most).contains(&found))
    .map(|(what, found, least, most, unit)| Outside { what, found, least, most, unit })
    .collect()
}
