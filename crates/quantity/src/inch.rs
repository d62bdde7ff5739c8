//! Lengths as the bench reads them: inches and a fraction, to a chosen step.
//!
//! A reading is structured (whole, numerator, denominator), so that a terminal and a page can each
//! set the fraction in their own way and still show the same number.

use crate::{Length, QuantityError};
use std::fmt;

/// The finest division a length is rounded to when it is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum InchStep {
    /// A quarter of an inch.
    Quarter,
    /// An eighth of an inch.
    Eighth,
    /// A sixteenth of an inch.
    Sixteenth,
    /// A thirty-second of an inch.
    ThirtySecond,
}

impl InchStep {
    /// Returns how many steps make an inch.
    #[must_use]
    pub fn per_inch(self) -> u32 {
        match self {
            Self::Quarter => 4,
            Self::Eighth => 8,
            Self::Sixteenth => 16,
            Self::ThirtySecond => 32,
        }
    }

    /// Returns the step as a length.
    #[must_use]
    pub fn length(self) -> Length {
        Length::inches(1.0 / f64::from(self.per_inch()))
    }

    /// Finds the step of this length, if it is one of the bench's.
    ///
    /// # Errors
    /// [`QuantityError::BadFraction`] when the length is none of 1/4, 1/8, 1/16, 1/32 in.
    pub fn from_length(step: Length) -> Result<Self, QuantityError> {
        [Self::Quarter, Self::Eighth, Self::Sixteenth, Self::ThirtySecond]
            .into_iter()
            .find(|candidate| (candidate.length() - step).as_inches().abs() < 1e-9)
            .ok_or_else(|| QuantityError::BadFraction {
                found: format!("{} in", step.as_inches()),
                why: "a step is one of 1/4, 1/8, 1/16 or 1/32 in",
            })
    }
}

/// A length rounded to a step, as sign, whole inches and a proper fraction in lowest terms.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct InchReading {
    /// Whether the length is below zero.
    pub is_negative: bool,
    /// Whole inches, without sign.
    pub whole: u32,
    /// Numerator of the fraction; 0 when there is none.
    pub numerator: u32,
    /// Denominator of the fraction; 1 when there is none.
    pub denominator: u32,
}

impl Length {
    /// Rounds to the nearest `step`, halves away from zero.
    #[must_use]
    pub fn rounded_to(self, step: InchStep) -> Self {
        let per_inch = f64::from(step.per_inch());
        Self::inches((self.as_inches() * per_inch).round() / per_inch)
    }

    /// Reads the length to the nearest `step`, as a whole number of inches and a fraction.
    #[must_use]
    pub fn to_step(self, step: InchStep) -> InchReading {
        let per_inch = step.per_inch();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a float-to-integer cast saturates, and a length is far below 2^32 steps"
        )]
        let steps = (self.as_inches().abs() * f64::from(per_inch)).round() as u32;
        let (whole, part) = (steps / per_inch, steps % per_inch);
        let shared = 1 << part.trailing_zeros().min(per_inch.trailing_zeros());
        InchReading {
            is_negative: steps > 0 && self.as_inches() < 0.0,
            whole,
            numerator: part / shared,
            denominator: if part == 0 { 1 } else { per_inch / shared },
        }
    }

    /// Prints the length to `step` with the metric beside it: `33 1/4 in (845 mm)`.
    #[must_use]
    pub fn with_metric(self, step: InchStep) -> String {
        format!("{} ({})", self.to_step(step), self.mm_printed(0))
    }
}

impl InchReading {
    /// Prints the number without its unit: `33 1/4`.
    #[must_use]
    pub fn number(&self) -> String {
        match (self.whole, self.numerator) {
            (whole, 0) => format!("{}{whole}", self.sign(false)),
            (0, numerator) => format!("{}{numerator}/{}", self.sign(false), self.denominator),
            (whole, numerator) => format!("{}{whole} {numerator}/{}", self.sign(false), self.denominator),
        }
    }

    /// Returns the sign to print: minus where needed, plus when `signed` and above zero.
    #[must_use]
    pub fn sign(&self, signed: bool) -> &'static str {
        match (self.is_negative, signed && (self.whole > 0 || self.numerator > 0)) {
            (true, _) => "-",
            (false, true) => "+",
            (false, false) => "",
        }
    }
}

impl fmt::Display for InchReading {
    /// Prints `33 1/4 in`; `{:+}` always shows the sign of what is not zero.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let plus = if f.sign_plus() && !self.is_negative { self.sign(true) } else { "" };
        write!(f, "{plus}{} in", self.number())
    }
}

#[cfg(test)]
mod tests {
    use super::InchStep;
    use crate::Length;

    #[test]
    fn a_length_reads_to_the_nearest_sixteenth_in_lowest_terms() {
        let read = |inches| Length::inches(inches).to_step(InchStep::Sixteenth).to_string();
        assert_eq!(read(33.25), "33 1/4 in");
        assert_eq!(read(33.03), "33 in");
        assert_eq!(read(33.99), "34 in");
        assert_eq!(read(0.4375), "7/16 in");
        assert_eq!(read(-0.5), "-1/2 in");
        assert_eq!(read(-0.01), "0 in");
    }

    #[test]
    fn a_change_shows_its_sign() {
        let step = InchStep::Eighth;
        assert_eq!(format!("{:+}", Length::inches(0.5).to_step(step)), "+1/2 in");
        assert_eq!(format!("{:+}", Length::inches(-0.5).to_step(step)), "-1/2 in");
        assert_eq!(format!("{:+}", Length::inches(0.0).to_step(step)), "0 in");
    }

    #[test]
    fn the_metric_stands_beside_the_inches() {
        // 33.25 in is 844.55 mm
        assert_eq!(Length::inches(33.25).with_metric(InchStep::Sixteenth), "33 1/4 in (845 mm)");
    }

    #[test]
    fn only_the_steps_of_a_bench_rule_are_steps() {
        assert_eq!(InchStep::from_length(Length::inches(0.125)), Ok(InchStep::Eighth));
        assert!(InchStep::from_length(Length::inches(0.1)).is_err());
    }
}
