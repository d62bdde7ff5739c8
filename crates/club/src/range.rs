//! Ranges outside which a reading is a slip of unit or decimal point.
//!
//! Kind of all of them: definition of what the tool takes, set wide about trade practice.

use crate::{ClubError, rules};
use quantity::{Angle, Frequency, Length, Mass};

/// The lengths a club can have at all; the shortest the Rules allow is 18 in and a child's first club is
/// shorter.
const CLUB_LENGTH_IN: (f64, f64) = (15.0, 60.0);
/// The frequencies of clamped clubs, cycles a minute.
const FREQUENCY_CPM: (f64, f64) = (100.0, 500.0);

/// Refuses a club length that cannot be meant.
pub(crate) fn club_length(length: Length) -> Result<Length, ClubError> {
    let (least, most) = CLUB_LENGTH_IN;
    if (least..=most).contains(&length.as_inches()) {
        return Ok(length);
    }
    let meant = rules::MOST.as_inches();
    Err(ClubError::OutOfRange {
        what: "length",
        found: length.decimal_inches(2).to_string(),
        expected: format!("{least:.0} to {most:.0} in (clubs are seldom over {meant:.0} in)"),
    })
}

/// Refuses a length outside what the part can measure.
pub(crate) fn length_within(
    what: &'static str,
    length: Length,
    least_in: f64,
    most_in: f64,
) -> Result<Length, ClubError> {
    if (least_in..=most_in).contains(&length.as_inches()) {
        return Ok(length);
    }
    Err(ClubError::OutOfRange {
        what,
        found: length.decimal_inches(3).to_string(),
        expected: format!("{least_in} to {most_in} in"),
    })
}

/// Refuses a mass outside what the part can weigh.
pub(crate) fn mass_within(
    what: &'static str,
    mass: Mass,
    least_g: f64,
    most_g: f64,
) -> Result<Mass, ClubError> {
    if (least_g..=most_g).contains(&mass.as_grams()) {
        return Ok(mass);
    }
    Err(ClubError::OutOfRange {
        what,
        found: mass.grams_printed(1).to_string(),
        expected: format!("{least_g} to {most_g} g"),
    })
}

/// Refuses an angle no head has.
pub(crate) fn degrees_within(
    what: &'static str,
    angle: Angle,
    least_deg: f64,
    most_deg: f64,
) -> Result<Angle, ClubError> {
    if (least_deg..=most_deg).contains(&angle.as_degrees()) {
        return Ok(angle);
    }
    Err(ClubError::OutOfRange {
        what,
        found: angle.degrees_printed(2).to_string(),
        expected: format!("{least_deg} to {most_deg} degrees"),
    })
}

/// Refuses a frequency no clamped club has.
pub(crate) fn frequency(frequency: Frequency) -> Result<Frequency, ClubError> {
    let (least, most) = FREQUENCY_CPM;
    if (least..=most).contains(&frequency.as_cpm()) {
        return Ok(frequency);
    }
    Err(ClubError::OutOfRange {
        what: "frequency",
        found: frequency.cpm_printed(0).to_string(),
        expected: format!("{least} to {most} cpm"),
    })
}
