//! A profile brought to a measured frequency.

use super::ClampedClub;
use crate::{ClubError, range};
use quantity::{Estimate, Frequency};

/// A club whose profile gives the frequency that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibrated {
    /// The club, its profile scaled.
    pub club: ClampedClub,
    /// By what the profile's stiffness was multiplied, as sure as the reading is.
    pub stiffness_factor: Estimate<f64>,
    /// The reading.
    pub reading: Estimate<Frequency>,
}

/// Scales a club's stiffness so that it vibrates as it was read.
///
/// # Errors
/// [`ClubError::OutOfRange`] for a reading no club has, and whatever the club itself is refused for.
///
/// # Source
/// Derived: a frequency goes with the root of the stiffness, so the factor is the square of the ratio and its relative
/// half-width twice the reading's.
pub fn calibrate(club: &ClampedClub, reading: Estimate<Frequency>) -> Result<Calibrated, ClubError> {
    range::frequency(reading.value)?;
    if !(reading.half_width >= Frequency::ZERO && reading.half_width < reading.value / 4.0) {
        return Err(ClubError::OutOfRange {
            what: "half-width of the reading",
            found: reading.half_width.cpm_printed(1).to_string(),
            expected: "0 cpm to a quarter of the reading".to_owned(),
        });
    }
    let factor = (reading.value / club.frequency()?).powi(2);
    let profile = club.profile.stiffened(factor)?;
    let half_width = 2.0 * factor * (reading.half_width / reading.value);
    Ok(Calibrated {
        club: ClampedClub { profile, ..club.clone() },
        stiffness_factor: Estimate { value: factor, half_width, level_percent: reading.level_percent },
        reading,
    })
}

impl Calibrated {
    /// Returns the frequency after a piece of work, as sure as the reading is.
    ///
    /// # Errors
    /// As [`ClampedClub::frequency`] of the club after the work.
    pub fn after(&self, altered: &ClampedClub) -> Result<Estimate<Frequency>, ClubError> {
        let value = altered.frequency()?;
        let half_width = self.reading.half_width * (value / self.reading.value);
        Ok(Estimate { value, half_width, level_percent: self.reading.level_percent })
    }
}
