//! Grip size: the outside diameter that core, butt and build-up layers give.
//!
//! Measured 2 in down from the cap. A grip is made for a butt equal to its core; on a thicker butt it
//! stretches and comes out thicker, by somewhat less than the difference.

use crate::range::length_within;
use crate::{ClubError, rules};
use quantity::Length;

/// Share of the difference between butt and core that shows outside: from the rubber drawn thinner to the
/// wall kept. Trade practice: one core step of .020 in is worth .015 to .020 in.
const SHOWS_OUTSIDE: (f64, f64) = (0.75, 1.0);

/// Outside size of a man's usual grip, 2 in down. Trade practice.
pub const USUAL_SIZE: Length = Length::inches(0.900);
/// What a build-up layer adds to the diameter. Trade practice: .010 to 1/64 in.
pub const USUAL_LAYER: Length = Length::inches(0.0125);

/// What goes on top of each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GripBuild {
    /// Inside diameter of the grip.
    pub core: Length,
    /// Outside diameter of the butt.
    pub butt: Length,
    /// Outside diameter the grip is made to have on a butt equal to its core, 2 in down.
    pub nominal: Length,
    /// Build-up layers, the two-way tape not counted.
    pub layers: u32,
    /// What a layer adds to the diameter.
    pub per_layer: Length,
}

/// Outside size of a grip 2 in down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GripSize {
    /// Middle of the range.
    pub size: Length,
    /// Least and most it may come to.
    pub range: (Length, Length),
}

impl GripBuild {
    /// Works out the outside size.
    ///
    /// # Errors
    /// [`ClubError::OutOfRange`] for diameters no grip has.
    ///
    /// # Source
    /// Trade practice: see the constants.
    pub fn size(&self) -> Result<GripSize, ClubError> {
        length_within("grip core", self.core, 0.40, 1.20)?;
        length_within("butt diameter", self.butt, 0.40, 1.20)?;
        length_within("nominal grip size", self.nominal, 0.60, rules::MOST_GRIP_SECTION.as_inches())?;
        length_within("build-up layer", self.per_layer, 0.0, 0.05)?;
        let built_up = self.per_layer * f64::from(self.layers);
        let stretched = |share: f64| self.nominal + (self.butt - self.core) * share + built_up;
        let (low, high) = (stretched(SHOWS_OUTSIDE.0), stretched(SHOWS_OUTSIDE.1));
        Ok(GripSize { size: (low + high) / 2.0, range: (low.min(high), low.max(high)) })
    }
}
