//! What can be wrong with body readings.

use quantity::{InchStep, Length};

/// Why a reading was refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FittingError {
    /// A reading no body has.
    #[error("{what} {} is outside {} to {}", both(.found), both(.least), both(.most))]
    OutOfRange {
        /// The reading, in the words of the lesson bay.
        what: &'static str,
        /// The value found.
        found: Length,
        /// The least that can be meant.
        least: Length,
        /// The most that can be meant.
        most: Length,
        /// The value in another unit that would make sense, as typed and as meant.
        meant: Option<(String, String)>,
    },
    /// No reading at all.
    #[error("expected at least one knuckle height, found none")]
    NoKnuckleHeight,
    /// More readings than anyone takes.
    #[error("expected at most {most} readings, found {found}")]
    TooManyReadings {
        /// How many were given.
        found: usize,
        /// How many are taken.
        most: usize,
    },
    /// So low a hand that the adult rule means nothing.
    #[error(
        "a knuckle height of {} is below what the length rule can mean ({} and up)",
        both(.found), both(.least)
    )]
    BelowTheRule {
        /// The mean reading.
        found: Length,
        /// The least the rule is used for.
        least: Length,
        /// What the junior chart says for this stature, if it was measured.
        junior: Option<String>,
    },
    /// A rule with a step or a spread that cannot be.
    #[error("the house rule's {what} of {found} is outside {expected}")]
    BadRule {
        /// Which number of the rule.
        what: &'static str,
        /// The value found.
        found: String,
        /// What it may be.
        expected: &'static str,
    },
}

fn both(length: &Length) -> String {
    length.with_metric(InchStep::Eighth)
}

impl FittingError {
    /// Says what to do next.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        Some(match self {
            Self::OutOfRange { meant: Some((typed, meant)), .. } => {
                format!("{typed}? That would be {meant}. Write the unit with the number.")
            }
            Self::OutOfRange { .. } => "Measure again, and write the unit with the number.".to_owned(),
            Self::NoKnuckleHeight => {
                "Measure from the floor to the middle knuckle of the lead hand, arm hanging, fingers hooked as \
                 round a handle."
                    .to_owned()
            }
            Self::TooManyReadings { .. } => "Keep the readings of one visit.".to_owned(),
            Self::BelowTheRule { junior: Some(chart), .. } => {
                format!("Start from height instead. {chart}")
            }
            Self::BelowTheRule { .. } => {
                "For a child start from height: add the stature to see the junior chart.".to_owned()
            }
            Self::BadRule { .. } => "Correct it under [house] in the card.".to_owned(),
        })
    }
}
