//! Mass moments: what a rigid body on the shaft line weighs, tips and resists turning with.
//!
//! Three sums describe any collection of masses along one axis: mass, first moment and second moment,
//! here about the grip end. They add when bodies are joined, subtract when one is taken away, and shift
//! by the parallel-axis rule when a body slides along the shaft. Every club number (balance, swingweight,
//! inertia) is read from them, so an alteration is bookkeeping on these three and nothing else.

use crate::ClubError;
use quantity::{Inertia, Length, Mass, Moment};
use std::ops::{Add, Sub};

/// Mass, first and second moment of a body about the grip end.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MassMoments {
    /// Total mass.
    pub mass: Mass,
    /// First moment about the grip end.
    pub first: Moment,
    /// Second moment (moment of inertia) about an axis through the grip end, square to the shaft.
    pub second: Inertia,
}

impl MassMoments {
    /// A mass at one point of the shaft line.
    #[must_use]
    pub fn point(mass: Mass, at: Length) -> Self {
        Self::point_off_line(mass, at, Length::ZERO)
    }

    /// A mass at `at` along the shaft and `off` away from its line.
    #[must_use]
    pub fn point_off_line(mass: Mass, at: Length, off: Length) -> Self {
        let first = mass * at;
        Self { mass, first, second: first * at + mass * off * off }
    }

    /// A thin uniform rod of `length` whose middle is at `centre`.
    #[must_use]
    pub fn rod_about(mass: Mass, centre: Length, length: Length) -> Self {
        let middle = Self::point(mass, centre);
        Self { second: middle.second + mass * length * length / 12.0, ..middle }
    }

    /// A thin rod from `start` whose density changes evenly along it, so that it balances at
    /// `balance_fraction` of its length.
    ///
    /// # Errors
    /// [`ClubError::BalanceFraction`] outside 1/3 to 2/3, where the density would have to be negative.
    ///
    /// # Source
    /// Derived (`docs/derivations/statics.md`): second moment about its start m l² (f − 1/6).
    pub fn tapered_rod(
        mass: Mass,
        start: Length,
        length: Length,
        balance_fraction: f64,
    ) -> Result<Self, ClubError> {
        if !(1.0 / 3.0..=2.0 / 3.0).contains(&balance_fraction) {
            return Err(ClubError::BalanceFraction { found: balance_fraction });
        }
        let own = Self {
            mass,
            first: mass * length * balance_fraction,
            second: mass * length * length * (balance_fraction - 1.0 / 6.0),
        };
        Ok(own.moved(start))
    }

    /// Returns the same body moved `by` toward the head.
    #[must_use]
    pub fn moved(self, by: Length) -> Self {
        Self {
            mass: self.mass,
            first: self.first + self.mass * by,
            second: self.second + self.first * by * 2.0 + self.mass * by * by,
        }
    }

    /// Returns where the body balances, from the grip end.
    #[must_use]
    pub fn balance(&self) -> Length {
        self.first / self.mass
    }

    /// Returns the moment of inertia about an axis square to the shaft at `at`.
    #[must_use]
    pub fn inertia_about(&self, at: Length) -> Inertia {
        self.moved(-at).second
    }

    /// Returns the moment of inertia about the balance point on the shaft line.
    #[must_use]
    pub fn inertia_about_balance(&self) -> Inertia {
        self.inertia_about(self.balance())
    }
}

impl Add for MassMoments {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            mass: self.mass + other.mass,
            first: self.first + other.first,
            second: self.second + other.second,
        }
    }
}

impl Sub for MassMoments {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self {
            mass: self.mass - other.mass,
            first: self.first - other.first,
            second: self.second - other.second,
        }
    }
}

impl std::iter::Sum for MassMoments {
    fn sum<I: Iterator<Item = Self>>(bodies: I) -> Self {
        bodies.fold(Self::default(), Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::MassMoments;
    use quantity::{Inertia, Length, Mass};

    fn near(left: Inertia, right: Inertia) -> bool {
        (left - right).abs() < Inertia::kg_cm2(1e-9)
    }

    #[test]
    fn a_uniform_rod_about_its_end_is_a_third_of_m_l_squared() {
        // 100 g, 900 mm: 0.1 * 0.81 / 3 = 0.027 kg m²
        let rod = MassMoments::tapered_rod(Mass::grams(100.0), Length::ZERO, Length::mm(900.0), 0.5).unwrap();
        assert!(near(rod.second, Inertia::kg_m2(0.027)));
        let same = MassMoments::rod_about(Mass::grams(100.0), Length::mm(450.0), Length::mm(900.0));
        assert!(near(same.second, rod.second));
    }

    #[test]
    fn a_rod_cannot_balance_beyond_a_third_of_its_length() {
        let rod = |f| MassMoments::tapered_rod(Mass::grams(1.0), Length::ZERO, Length::mm(1.0), f);
        assert!(rod(0.32).is_err() && rod(0.68).is_err() && rod(f64::NAN).is_err());
    }

    #[test]
    fn moving_a_body_there_and_back_changes_nothing() {
        let body = MassMoments::rod_about(Mass::grams(120.0), Length::inches(17.0), Length::inches(36.0));
        let back = body.moved(Length::inches(0.5)).moved(Length::inches(-0.5));
        assert!(near(back.second, body.second));
        assert!((back.balance() - body.balance()).abs() < Length::mm(1e-9));
    }

    #[test]
    fn a_mass_off_the_line_resists_turning_more() {
        let on = MassMoments::point(Mass::grams(200.0), Length::inches(44.6));
        let off = MassMoments::point_off_line(Mass::grams(200.0), Length::inches(44.6), Length::inches(1.4));
        // 200 g * (1.4 in)²: 0.2 kg * (3.556 cm)² = 2.529 kg cm²
        assert!(near(off.second - on.second, Inertia::kg_cm2(0.2 * 3.556 * 3.556)));
    }
}
