//! Sole marks: from where the sole touches the board to degrees of lie.
//!
//! A sole is curved heel to toe. Delivered too flat it touches toward the toe, too upright toward the
//! heel, and how far depends on the curve: a rule of "so much a degree" is a sole of one radius. Days and
//! not marks are the sample; the standard error here is within one day.

use crate::ClubError;
use quantity::{Angle, Length};

/// Which side of the sole's middle the mark lies on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkSide {
    /// Toward the toe: delivered too flat.
    Toe,
    /// Toward the heel: delivered too upright.
    Heel,
}

/// Which way the head would be bent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bend {
    /// More degrees of lie.
    Upright,
    /// Fewer degrees of lie.
    Flat,
    /// The mark is in the middle, as far as the marks tell.
    Leave,
}

/// Several marks of one day: their mean place and their spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SoleMarks {
    /// Distance of the mean mark from the middle of the sole.
    pub offset: Length,
    /// On which side.
    pub toward: MarkSide,
    /// Standard deviation of the marks.
    pub sd: Length,
    /// How many marks were counted.
    pub counted: u32,
}

/// What the marks say for one radius of the sole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LieError {
    /// How far the delivered lie is off, without sign.
    pub degrees: Angle,
    /// Standard error of the mean, within the day.
    pub standard_error: Angle,
}

impl SoleMarks {
    /// Returns which way to bend; a mean within its own standard error asks for none.
    #[must_use]
    pub fn bend(&self) -> Bend {
        match (self.offset <= self.standard_error(), self.toward) {
            (true, _) => Bend::Leave,
            (false, MarkSide::Toe) => Bend::Upright,
            (false, MarkSide::Heel) => Bend::Flat,
        }
    }

    /// Returns the standard error of the mean mark.
    #[must_use]
    pub fn standard_error(&self) -> Length {
        self.sd / f64::from(self.counted.max(1)).sqrt()
    }

    /// Turns the marks into degrees for a sole of this radius.
    ///
    /// # Errors
    /// [`ClubError::MarkOffTheSole`] when the mark lies beyond the curve or the radius is not positive.
    ///
    /// # Source
    /// Derived (`docs/derivations/lie.md`): the sole touches where its tangent is level, asin(mark / radius).
    pub fn lie_error(&self, sole_radius: Length) -> Result<LieError, ClubError> {
        if sole_radius <= Length::ZERO || self.offset.abs() > sole_radius {
            return Err(ClubError::MarkOffTheSole {
                mark_in: self.offset.as_inches(),
                radius_in: sole_radius.as_inches(),
            });
        }
        Ok(LieError {
            degrees: Angle::radians((self.offset / sole_radius).asin()),
            standard_error: Angle::radians(self.standard_error() / sole_radius),
        })
    }
}
