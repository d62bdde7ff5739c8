//! The golfer a set is fitted for.

use crate::BodyReadings;
use club::ClubKind;
use quantity::Speed;

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
}
