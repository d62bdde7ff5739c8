//! Lead tape: how much of it makes so many points, by its own mass per inch.
//!
//! Tapes run from 0.4 to 2 g an inch, so an inch of tape is no unit: weigh the tape.

use crate::{ClubError, FULCRUM, Swingweight};
use quantity::{Length, Mass};

/// Returns the mass at the head that adds so many points to a club of this length.
///
/// # Errors
/// [`ClubError::OutOfRange`] for a club that ends before the fulcrum.
pub fn head_mass_for_points(length: Length, points: f64) -> Result<Mass, ClubError> {
    crate::range::club_length(length)?;
    Ok(Swingweight::moment_of_points(points) / (length - FULCRUM))
}

/// Returns the length of tape that weighs `mass`.
///
/// # Errors
/// [`ClubError::OutOfRange`] for a tape that weighs nothing.
pub fn length_of_tape(mass: Mass, tape_mass_per_inch: Mass) -> Result<Length, ClubError> {
    crate::range::mass_within("mass of an inch of tape", tape_mass_per_inch, 0.05, 20.0)?;
    Ok(Length::inches(mass / tape_mass_per_inch))
}
