//! What the numbers of a head rest on.

use std::fmt;

/// What a number rests on, surest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RestsOn {
    /// It was read from this head.
    Reading,
    /// It was published: Proceedings 2020, 49(1), 47, Table 1.
    Published,
    /// It is what the trade usually does; it has no source.
    TradePractice,
    /// It is of the size that makers' press texts or a magazine give, seen second-hand.
    SecondHand,
    /// It was chosen so that this model meets numbers from elsewhere.
    Calibration,
    /// It is from memory and was not read again.
    Memory,
    /// It was chosen because such a head looks so.
    Assumption,
}

impl fmt::Display for RestsOn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Reading => "read from this head",
            Self::Published => "published: Proceedings 2020, 49(1), 47, Table 1",
            Self::TradePractice => "trade practice, no source",
            Self::SecondHand => "of the size makers and magazines print, seen second-hand",
            Self::Calibration => "calibrated",
            Self::Memory => "from memory",
            Self::Assumption => "assumed",
        })
    }
}

/// What each number of a head rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HeadSources {
    /// The head's mass.
    pub mass: RestsOn,
    /// Where its centre of mass is.
    pub centre_of_mass: RestsOn,
    /// Its moment of inertia about the vertical.
    pub inertia_about_vertical: RestsOn,
    /// All else in the inertia tensor.
    pub other_moments: RestsOn,
    /// Restitution and its fall with speed.
    pub restitution: RestsOn,
    /// Tangential restitution.
    pub tangential_restitution: RestsOn,
    /// Friction.
    pub friction: RestsOn,
    /// The shaft's share.
    pub shaft_share: RestsOn,
    /// The size of the face.
    pub face_size: RestsOn,
    /// The face's curve from heel to toe, or that there is none.
    pub bulge: RestsOn,
    /// The face's curve from sole to crown, or that there is none.
    pub roll: RestsOn,
}

impl HeadSources {
    /// Returns what numbers between those of two heads rest on: the less sure of the two.
    pub(super) fn between(self, other: Self) -> Self {
        Self {
            mass: self.mass.max(other.mass),
            centre_of_mass: self.centre_of_mass.max(other.centre_of_mass),
            inertia_about_vertical: self.inertia_about_vertical.max(other.inertia_about_vertical),
            other_moments: self.other_moments.max(other.other_moments),
            restitution: self.restitution.max(other.restitution),
            tangential_restitution: self.tangential_restitution.max(other.tangential_restitution),
            friction: self.friction.max(other.friction),
            shaft_share: self.shaft_share.max(other.shaft_share),
            face_size: self.face_size.max(other.face_size),
            bulge: self.bulge.max(other.bulge),
            roll: self.roll.max(other.roll),
        }
    }
}
