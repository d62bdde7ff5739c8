//! What a club is to be when it leaves the bench.

use super::BuildError;
use club::Swingweight;
use quantity::{Frequency, Inertia, Length, Mass};

/// The number that is matched over a set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AimedNumber {
    /// The 14-inch scale, and how many points off still pass.
    Swingweight(Swingweight, f64),
    /// The inertia about the grip end, and how much off still passes.
    Inertia(Inertia, Inertia),
}

/// A club's aims, each with how far off still passes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// Playing length, and its tolerance.
    pub length: (Length, Length),
    /// The number that is matched.
    pub number: AimedNumber,
    /// Total mass, where it is held.
    pub mass: Option<(Mass, Mass)>,
    /// Frequency, where the club is to stand on a line; asked only where one was read and the shaft stays.
    pub frequency: Option<(Frequency, Frequency)>,
}

/// A limit passed by rounding alone is not passed. Derived.
pub(super) const ROUNDING: f64 = 1e-9;

/// What a club misses of its aims, in tolerances: over is positive, 1 is the limit. Length, number, mass, frequency.
pub(super) type Off = [f64; 4];

impl Aim {
    /// How far the number that is matched is off, in tolerances.
    pub(super) fn number_off(&self, swingweight: Swingweight, inertia: Inertia) -> f64 {
        match self.number {
            AimedNumber::Swingweight(wanted, within) => swingweight.points_above(wanted) / within,
            AimedNumber::Inertia(wanted, within) => (inertia - wanted) / within,
        }
    }

    /// Returns how far a club is off each aim; an aim that is not asked is met.
    pub(super) fn off(
        &self,
        length: Length,
        swingweight: Swingweight,
        inertia: Inertia,
        mass: Mass,
        frequency: Option<Frequency>,
    ) -> Off {
        let number = self.number_off(swingweight, inertia);
        let of_frequency = self.frequency.zip(frequency);
        [
            (length - self.length.0) / self.length.1,
            number,
            self.mass.map_or(0.0, |(wanted, within)| (mass - wanted) / within),
            of_frequency.map_or(0.0, |((wanted, within), found)| (found - wanted) / within),
        ]
    }

    pub(super) fn check(&self, club: &str) -> Result<(), BuildError> {
        let number = match self.number {
            AimedNumber::Swingweight(wanted, within) => (wanted.moment().as_kilogram_metres(), within),
            AimedNumber::Inertia(wanted, within) => (wanted.as_kg_cm2(), within.as_kg_cm2()),
        };
        let mass = self.mass.map(|(wanted, within)| (wanted.as_grams(), within.as_grams()));
        let frequency = self.frequency.map(|(wanted, within)| (wanted.as_hertz(), within.as_hertz()));
        let length = (self.length.0.as_inches(), self.length.1.as_inches());
        let aims = [Some(length), Some(number), mass, frequency];
        let is_aim =
            |(wanted, within): &(f64, f64)| wanted.is_finite() && within.is_finite() && *within > 0.0;
        if !aims.iter().flatten().all(is_aim) || !(18.0..=50.0).contains(&length.0) {
            let expected = "aims that are numbers, a length of 18 to 50 in, and tolerances over nothing";
            return Err(BuildError::Size { what: club.to_owned(), expected });
        }
        Ok(())
    }
}
