//! A club's numbers at one moment, before or after work.

use club::alter::OnBench;
use club::{MassMoments, Swingweight};
use quantity::{Inertia, Length, Mass};

/// What scale, edge and tape read, and what the hands feel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Playing length.
    pub length: Length,
    /// Total mass.
    pub mass: Mass,
    /// Balance point from the grip end.
    pub balance: Length,
    /// Reading of the 14-inch scale.
    pub swingweight: Swingweight,
    /// The same reading taken from where the hands hold the club.
    pub as_held: Swingweight,
    /// Inertia about the end of the hands' hold.
    pub inertia: Inertia,
}

impl State {
    /// Reads a club held at its end.
    #[must_use]
    pub fn of(club: &OnBench) -> Self {
        Self::held_down(club, Length::ZERO)
    }

    /// Reads a club held `down` below its end.
    #[must_use]
    pub fn held_down(club: &OnBench, down: Length) -> Self {
        let whole = club.whole();
        let held: MassMoments = club.as_held(down);
        Self {
            length: club.length,
            mass: whole.mass,
            balance: whole.balance(),
            swingweight: club.swingweight(),
            as_held: Swingweight::of(&held),
            inertia: held.second,
        }
    }

    /// Returns by what share the inertia stands above another state's.
    #[must_use]
    pub fn inertia_change_from(&self, before: &Self) -> f64 {
        self.inertia / before.inertia - 1.0
    }
}
