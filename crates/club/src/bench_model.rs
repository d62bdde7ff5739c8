//! The club on the bench: what a scale and a balance edge read, and the parts that follow from it.
//!
//! Conventions of the bench, as in `docs/derivations/statics.md`: the head's mass sits on the length
//! mark (for a lie of 60 to 63 degrees its toe-ward offset and its height cancel to 0.2 in); the shaft
//! runs from under the cap to the bottom of the bore; ferrule and glue are a point at the hosel top.

use crate::range::{club_length, mass_within};
use crate::{ClubError, MassMoments};
use quantity::{Estimate, Length, Mass, Moment, Z_80};

/// Thickness of the grip's cap, which is part of the playing length. Trade practice.
pub const CAP: Length = Length::inches(0.125);
/// Distance from the bottom of the bore to the ground. Trade practice: 3/4 to 1 in on irons.
pub const BORE_TO_GROUND: Length = Length::inches(1.0);
/// Where a shaft balances, as a share of its cut length. Trade practice, a model choice.
pub const SHAFT_BALANCE_FRACTION: f64 = 0.48;
/// Length of a grip. Trade practice.
pub const GRIP_LENGTH: Length = Length::inches(10.5);
/// Where a grip balances, from the grip end. Trade practice, a model choice.
pub const GRIP_CENTRE: Length = Length::inches(4.0);
/// How far the hosel top lies above the length mark. Trade practice, a model choice.
const HOSEL_TOP_ABOVE_MARK: Length = Length::inches(2.5);
/// Mass of ferrule and glue. Trade practice: 2 to 3 g.
pub const FERRULE_AND_GLUE: Mass = Mass::grams(3.0);

/// Where shafts balance, as a share of their length. Trade practice, wide: makers sell 0.46 to 0.54.
const SHAFT_BALANCES: std::ops::RangeInclusive<f64> = 0.40..=0.56;
/// Masses a head and a cut shaft can have, grams. Definition of what the tool takes: wide about the trade's 185
/// to 370 g of head and 30 to 135 g of shaft.
const HEAD_G: std::ops::RangeInclusive<f64> = 120.0..=420.0;
const SHAFT_G: std::ops::RangeInclusive<f64> = 20.0..=170.0;

/// Refuses a head or a shaft that no club has.
fn can_be_parts(head: Mass, shaft: Mass) -> Result<(), ClubError> {
    if HEAD_G.contains(&head.as_grams()) && SHAFT_G.contains(&shaft.as_grams()) {
        return Ok(());
    }
    Err(ClubError::ReadingsDisagree { head_g: head.as_grams(), shaft_g: shaft.as_grams() })
}

/// Standard uncertainty of a balance point read on an edge: 1/16 in. Trade practice.
const BALANCE_READING: Length = Length::inches(1.0 / 16.0);
/// Standard uncertainty of a club's mass on a shop scale: 0.5 g. Trade practice.
const MASS_READING: Mass = Mass::grams(0.5);

/// Returns a grip's moments about the grip end.
#[must_use]
pub fn grip(mass: Mass) -> MassMoments {
    MassMoments::rod_about(mass, GRIP_CENTRE, GRIP_LENGTH)
}

/// Returns the cut length of the shaft in a club of this length.
#[must_use]
pub fn shaft_length(length: Length) -> Length {
    length - CAP - BORE_TO_GROUND
}

/// Returns a shaft's moments in a club of this length.
#[must_use]
pub fn shaft(mass: Mass, length: Length) -> MassMoments {
    let cut = shaft_length(length);
    MassMoments::rod_about(mass, CAP + cut * SHAFT_BALANCE_FRACTION, cut)
}

/// Returns the moments of ferrule and glue in a club of this length.
#[must_use]
pub fn ferrule_and_glue(mass: Mass, length: Length) -> MassMoments {
    MassMoments::point(mass, length - HOSEL_TOP_ABOVE_MARK)
}

/// Returns the head's moments: a point on the length mark.
#[must_use]
pub fn head(mass: Mass, length: Length) -> MassMoments {
    MassMoments::point(mass, length)
}

/// What the bench reads of a whole club.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Playing length on the 60 degree plate.
    pub length: Length,
    /// Total mass.
    pub mass: Mass,
    /// Balance point from the grip end.
    pub balance: Length,
}

/// The parts that follow from a reading and the grip's mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InferredParts {
    /// Head mass, with the half-width that the reading's own repeatability gives.
    pub head: Estimate<Mass>,
    /// Shaft mass, likewise.
    pub shaft: Estimate<Mass>,
    /// The grip.
    pub grip: MassMoments,
    /// Everything but the grip.
    pub rest: MassMoments,
}

impl Reading {
    /// Refuses readings that no club can have.
    ///
    /// # Errors
    /// [`ClubError::OutOfRange`] or [`ClubError::BalanceOffTheClub`].
    pub fn checked(self) -> Result<Self, ClubError> {
        club_length(self.length)?;
        mass_within("mass", self.mass, 150.0, 800.0)?;
        if self.balance <= Length::ZERO || self.balance >= self.length {
            return Err(ClubError::BalanceOffTheClub {
                balance: self.balance.as_inches(),
                length: self.length.as_inches(),
            });
        }
        Ok(self)
    }

    /// Infers head and shaft mass from the whole club and the mass of its grip.
    ///
    /// Mass and first moment are two equations for the two unknown masses; the shaft is taken to balance
    /// at [`SHAFT_BALANCE_FRACTION`]. The half-widths are 80 in 100, from a balance point good to 1/16 in
    /// and a mass good to 0.5 g.
    ///
    /// # Errors
    /// [`ClubError::ReadingsDisagree`] when no club has such a head or shaft.
    ///
    /// # Source
    /// Derived: `docs/derivations/statics.md`.
    pub fn parts(self, grip: MassMoments) -> Result<InferredParts, ClubError> {
        let Self { length, mass, balance } = self.checked()?;
        mass_within("grip mass", grip.mass, 0.0, 200.0)?;
        let ferrule = ferrule_and_glue(FERRULE_AND_GLUE, length);
        let shaft_centre = shaft(Mass::grams(1.0), length).balance();
        let arm = length - shaft_centre;

        let unknown_mass = mass - grip.mass - ferrule.mass;
        let unknown_first = mass * balance - grip.first - ferrule.first;
        let head_mass = (unknown_first - unknown_mass * shaft_centre) / arm;
        let shaft_mass = unknown_mass - head_mass;
        can_be_parts(head_mass, shaft_mass)?;

        // d(head)/d(balance) = M / arm and d(head)/d(mass) = (B - c) / arm; the shaft takes the rest
        let from_balance = mass * (BALANCE_READING / arm);
        let head_from_mass = MASS_READING * ((balance - shaft_centre) / arm);
        let shaft_from_mass = MASS_READING * ((length - balance) / arm);
        let estimate = |value, from_mass: Mass| Estimate {
            value,
            half_width: Mass::grams(from_balance.as_grams().hypot(from_mass.as_grams()) * Z_80),
            level_percent: 80,
        };
        let rest = head(head_mass, length) + shaft(shaft_mass, length) + ferrule;
        Ok(InferredParts {
            head: estimate(head_mass, head_from_mass),
            shaft: estimate(shaft_mass, shaft_from_mass),
            grip,
            rest,
        })
    }

    /// Splits the club where the head's mass is known: the shaft's mass is what is left, and its centre
    /// follows from the balance point instead of being assumed.
    ///
    /// # Errors
    /// [`ClubError::ReadingsDisagree`] when no club has such a shaft, [`ClubError::ShaftBalance`] when it would
    /// balance where no shaft does.
    pub fn parts_with_head(self, grip: MassMoments, head_mass: Mass) -> Result<InferredParts, ClubError> {
        let Self { length, mass, balance } = self.checked()?;
        mass_within("grip mass", grip.mass, 0.0, 200.0)?;
        let ferrule = ferrule_and_glue(FERRULE_AND_GLUE, length);
        let head = head(head_mass, length);
        let shaft_mass = mass - grip.mass - ferrule.mass - head.mass;
        let first: Moment = mass * balance - grip.first - ferrule.first - head.first;
        let cut = shaft_length(length);
        let fraction = (first / shaft_mass - CAP) / cut;
        can_be_parts(head_mass, shaft_mass)?;
        if !SHAFT_BALANCES.contains(&fraction) {
            return Err(ClubError::ShaftBalance { fraction, shaft_g: shaft_mass.as_grams() });
        }
        let shaft = MassMoments::rod_about(shaft_mass, first / shaft_mass, cut);
        let exact = |value| Estimate { value, half_width: MASS_READING * Z_80, level_percent: 80 };
        Ok(InferredParts {
            head: exact(head_mass),
            shaft: exact(shaft_mass),
            grip,
            rest: head + shaft + ferrule,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::{Reading, grip};
    use crate::ClubError;
    use quantity::{Length, Mass};

    fn seven_iron() -> Reading {
        Reading { length: Length::inches(37.0), mass: Mass::grams(426.0), balance: Length::inches(28.26) }
    }

    #[test]
    fn a_seven_iron_comes_apart_into_the_parts_it_was_built_from() {
        // built from head 268, shaft 105, grip 50, ferrule and glue 3 (worked case B08)
        let parts = seven_iron().parts(grip(Mass::grams(50.0))).unwrap();
        assert!((parts.head.value.as_grams() - 268.0).abs() < 0.3, "{parts:?}");
        assert!((parts.shaft.value.as_grams() - 105.0).abs() < 0.3);
        // 426 g * 1/16 in over an arm of 19.66 in is 1.35 g; with 0.27 g from the scale 1.38 g, times 1.28
        assert!((parts.head.half_width.as_grams() - 1.77).abs() < 0.02, "{parts:?}");
    }

    #[test]
    fn the_parts_add_up_to_the_reading_again() {
        let parts = seven_iron().parts(grip(Mass::grams(50.0))).unwrap();
        let whole = parts.grip + parts.rest;
        assert!((whole.mass.as_grams() - 426.0).abs() < 1e-9);
        assert!((whole.balance().as_inches() - 28.26).abs() < 1e-9);
        let known = seven_iron().parts_with_head(grip(Mass::grams(50.0)), Mass::grams(268.0)).unwrap();
        assert!(((known.grip + known.rest).balance().as_inches() - 28.26).abs() < 1e-9);
    }

    #[test]
    fn readings_that_no_club_can_have_are_refused() {
        let balanced_at = |inches| Reading { balance: Length::inches(inches), ..seven_iron() };
        assert!(matches!(
            balanced_at(15.0).parts(grip(Mass::grams(50.0))),
            Err(ClubError::ReadingsDisagree { .. })
        ));
        assert!(matches!(
            balanced_at(38.0).parts(grip(Mass::grams(50.0))),
            Err(ClubError::BalanceOffTheClub { .. })
        ));
        assert!(seven_iron().parts_with_head(grip(Mass::grams(50.0)), Mass::grams(300.0)).is_err());
    }
}
