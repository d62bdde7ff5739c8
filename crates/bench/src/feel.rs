//! Will the golfer feel it? Trade practice, no source: one point of swingweight is not felt by most, two by
//! some, three by most.

use crate::State;

/// How many golfers feel a change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feel {
    /// Most do not feel it.
    ByFew,
    /// Some feel it.
    BySome,
    /// Most feel it.
    ByMost,
}

/// Halfway between one point and two, and between two and three.
const SOME_FROM_POINTS: f64 = 1.5;
const MOST_FROM_POINTS: f64 = 2.5;

impl Feel {
    /// Judges the step from one state to another by the swingweight as held.
    #[must_use]
    pub fn of(before: &State, after: &State) -> Self {
        let points = after.as_held.points_above(before.as_held).abs();
        if points >= MOST_FROM_POINTS {
            Self::ByMost
        } else if points >= SOME_FROM_POINTS {
            Self::BySome
        } else {
            Self::ByFew
        }
    }

    /// Says it, to go on after the number: `+1.8 points as held, which some will feel`.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::ByFew => "which most will not feel",
            Self::BySome => "which some will feel",
            Self::ByMost => "which most will feel",
        }
    }
}
