//! The golfer a set is fitted for.

use crate::BodyReadings;
use club::ClubKind;
use quantity::{Length, Speed};

/// Which side the golfer plays from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Handedness {
    /// Lead hand and lead side on the left.
    #[default]
    Right,
    /// Lead hand and lead side on the right.
    Left,
}

impl Handedness {
    /// Names the side the golfer's lead shoulder points to: where a ball started "toward the lead side" goes.
    #[must_use]
    pub fn lead_side(self) -> &'static str {
        match self {
            Self::Right => "left",
            Self::Left => "right",
        }
    }

    /// Names the other side.
    #[must_use]
    pub fn trail_side(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
        }
    }

    /// Says how the golfer plays.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Right => "right-handed",
            Self::Left => "left-handed",
        }
    }
}

/// Head speed with one club.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeadSpeed {
    /// The club it was read with.
    pub club: ClubKind,
    /// Speed of the head at the ball.
    pub speed: Speed,
}

/// What a strike trial said: how far from the rule's length the set is built, and how sure that is.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialSays {
    /// Offset from the rule's length, longer positive.
    pub offset: Length,
    /// Half-width of the interval that holds the length that suits 80 times in 100.
    pub half_width: Length,
    /// What it rests on: `48 balls on 4 days`.
    pub on: String,
}

/// Farthest a trial moves a length from the rule's. Definition of what a trial may try.
pub const FARTHEST_BY_TRIAL: Length = Length::inches(1.5);

/// A golfer and the readings of one visit.
#[derive(Debug, Clone, PartialEq)]
pub struct Golfer {
    /// Name, as it stands on the sheets.
    pub name: String,
    /// Which side they play from.
    pub plays: Handedness,
    /// Readings of the visit.
    pub readings: BodyReadings,
    /// Head speed, where a meter was at hand.
    pub head_speed: Option<HeadSpeed>,
    /// Why a doubtful reading is taken all the same, in the fitter's words.
    pub overruled: Option<String>,
    /// What a strike trial said of the rule's length for this golfer.
    pub trial: Option<TrialSays>,
}
