//! Swingweight: the static balance number by which a set is matched.
//!
//! It is the club's first moment about a fulcrum 14 in from the grip end, cut into points and printed
//! as letter and number: A0, A1 … A9, B0 … up to G. Assumes a rigid, assembled club at rest; how it
//! swings is told by the inertia in [`crate::MassMoments`].

use crate::{ClubError, MassMoments};
use quantity::{Length, Mass, Moment};
use std::fmt;

/// Distance of the scale's fulcrum from the grip end. Trade practice.
pub const FULCRUM: Length = Length::inches(14.0);
/// Moment of one point, in·oz. Trade practice.
const POINT_IN_OZ: f64 = 1.75;
/// Moment read as D0, in·oz. Trade practice.
const D0_IN_OZ: f64 = 213.5;
/// Points from A0 to D0: three letters of ten points. Definition of the scale.
const D0_POINTS: f64 = 30.0;
/// The letters of the scale and the points at which each begins. Trade practice.
const LETTERS: [(char, f64); 7] =
    [('A', 0.0), ('B', 10.0), ('C', 20.0), ('D', 30.0), ('E', 40.0), ('F', 50.0), ('G', 60.0)];
/// Points on the scale: seven letters of ten.
const TOP_POINTS: f64 = 70.0;

/// A reading of the 14-inch scale.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Swingweight {
    moment: Moment,
}

impl Swingweight {
    /// Reads the scale for a body, from its moments about the grip end.
    #[must_use]
    pub fn of(body: &MassMoments) -> Self {
        Self { moment: body.first - body.mass * FULCRUM }
    }

    /// Makes a reading from points above A0.
    #[must_use]
    pub fn from_points(points: f64) -> Self {
        Self { moment: Moment::inch_ounces(D0_IN_OZ + (points - D0_POINTS) * POINT_IN_OZ) }
    }

    /// Makes a reading from the moment about the fulcrum.
    #[must_use]
    pub fn from_moment(moment: Moment) -> Self {
        Self { moment }
    }

    /// Returns the moment about the fulcrum.
    #[must_use]
    pub fn moment(self) -> Moment {
        self.moment
    }

    /// Returns the points above A0; below A0 they are negative.
    #[must_use]
    pub fn points(self) -> f64 {
        (self.moment.as_inch_ounces() - D0_IN_OZ) / POINT_IN_OZ + D0_POINTS
    }

    /// Returns how many points this reading stands above `other`.
    #[must_use]
    pub fn points_above(self, other: Self) -> f64 {
        self.points() - other.points()
    }

    /// Prints letter and number to so many decimals, "below A0" or "above G" off the scale.
    ///
    /// The points are rounded before letter and number are split, so 29.96 reads "D0.0" and never
    /// "C10.0".
    #[must_use]
    pub fn label(self, decimals: usize) -> String {
        let scale = 10f64.powi(i32::try_from(decimals).unwrap_or(0));
        let points = (self.points() * scale).round() / scale + 0.0; // no minus before zero
        if points >= TOP_POINTS {
            return "above G".to_owned();
        }
        match LETTERS.iter().rfind(|(_, start)| points >= *start) {
            Some((letter, start)) => format!("{letter}{:.decimals$}", points - start),
            None => "below A0".to_owned(),
        }
    }

    /// Reads a label such as `D0.5` or `C 9`.
    ///
    /// # Errors
    /// [`ClubError::SwingweightLabel`] for anything but a letter A to G and a number below ten.
    pub fn parse(text: &str) -> Result<Self, ClubError> {
        let refused = || ClubError::SwingweightLabel { found: text.trim().to_owned() };
        let label = text.trim().to_ascii_uppercase();
        let mut signs = label.chars();
        let letter = signs.next().ok_or_else(refused)?;
        let start = LETTERS
            .iter()
            .find_map(|(known, start)| (*known == letter).then_some(start))
            .ok_or_else(refused)?;
        let number = signs.as_str().trim();
        if !number.bytes().all(|sign| sign.is_ascii_digit() || sign == b'.') {
            return Err(refused());
        }
        let number: f64 = number.parse().map_err(|_| refused())?;
        if !(0.0..10.0).contains(&number) {
            return Err(refused());
        }
        Ok(Self::from_points(start + number))
    }

    /// Returns where a club of this mass and swingweight balances.
    #[must_use]
    pub fn balance_at(self, mass: Mass) -> Length {
        FULCRUM + self.moment / mass
    }

    /// Returns the moment that so many points are.
    #[must_use]
    pub fn moment_of_points(points: f64) -> Moment {
        Moment::inch_ounces(points * POINT_IN_OZ)
    }
}

impl fmt::Display for Swingweight {
    /// Prints to a tenth of a point; off the scale the moment stands beside the words.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let label = self.label(1);
        if label.contains(' ') {
            return write!(f, "{label} ({})", self.moment.inch_ounces_printed(1));
        }
        f.write_str(&label)
    }
}

#[cfg(test)]
mod tests {
    use super::Swingweight;
    use quantity::{Mass, Moment};

    #[test]
    fn the_points_are_rounded_before_the_letter_is_chosen() {
        assert_eq!(Swingweight::from_points(29.96).label(1), "D0.0");
        assert_eq!(Swingweight::from_points(29.94).label(1), "C9.9");
        assert_eq!(Swingweight::from_points(9.999).label(2), "B0.00");
    }

    #[test]
    fn off_the_scale_the_moment_is_shown() {
        assert_eq!(
            Swingweight::from_moment(Moment::inch_ounces(150.0)).to_string(),
            "below A0 (150.0 in oz)"
        );
        assert_eq!(Swingweight::from_points(70.0).label(1), "above G");
        assert_eq!(Swingweight::from_points(-0.01).label(1), "A0.0");
    }

    #[test]
    fn a_label_reads_back() {
        assert!((Swingweight::parse("D0.5").unwrap().points() - 30.5).abs() < 1e-12);
        assert!((Swingweight::parse(" c 9 ").unwrap().points() - 29.0).abs() < 1e-12);
        for wrong in ["", "D", "H0", "D10", "D-1", "D1e0", "37", "DD1", "D+1", "ä1", "D1.2.3"] {
            assert!(Swingweight::parse(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_reading_and_a_mass_give_the_balance_point() {
        // three clubs measured by a builder and posted in public: in, g, label
        for (balance, grams, label) in
            [(27.21, 460.0, "D0.6"), (27.66, 438.0, "C8.7"), (28.11, 418.0, "C7.0")]
        {
            let reckoned = Swingweight::parse(label).unwrap().balance_at(Mass::grams(grams));
            // 0.2 point at 418 g is 0.2 * 49.6 / 418 = 0.024 in
            assert!((reckoned.as_inches() - balance).abs() < 0.024, "{label}: {reckoned:?}");
        }
    }
}
