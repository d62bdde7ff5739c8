//! What can be wrong with a quantity that was typed or read, and what to do about it.

/// Why a typed quantity was refused.
///
/// The message says what was expected and what was found; [`QuantityError::hint`] says what to do next.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// Nothing was typed.
    #[error("expected {expected}, found nothing")]
    Empty {
        /// What kind of entry belongs here, with an example.
        expected: &'static str,
    },
    /// The entry is longer than any quantity can be.
    #[error("expected {expected}, found a text of {characters} characters")]
    TooLong {
        /// What kind of entry belongs here, with an example.
        expected: &'static str,
        /// How long the entry is.
        characters: usize,
    },
    /// A comma stands where the decimal point belongs.
    #[error("a comma in a number can be read two ways: \"{found}\"")]
    DecimalComma {
        /// The entry as typed.
        found: String,
        /// The entry with a decimal point.
        suggestion: String,
    },
    /// No number where one belongs.
    #[error("expected {expected}, found \"{found}\"")]
    NotANumber {
        /// What kind of entry belongs here, with an example.
        expected: &'static str,
        /// The entry as typed.
        found: String,
    },
    /// The number has a unit this quantity does not know.
    #[error("the unit \"{unit}\" in \"{found}\" is not one of {known}")]
    UnknownUnit {
        /// The entry as typed.
        found: String,
        /// The unit as typed.
        unit: String,
        /// The units that are understood.
        known: &'static str,
    },
    /// A fraction that is not a proper one, or that belongs to a metric unit.
    #[error("the fraction in \"{found}\" cannot be read: {why}")]
    BadFraction {
        /// The entry as typed.
        found: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// Not a number, or infinite.
    #[error("expected a finite number, found {found}")]
    NotFinite {
        /// The number as it prints.
        found: String,
    },
    /// Beyond anything that can be meant.
    #[error("{found} is beyond anything met at a bench (from {least} to {most})")]
    Absurd {
        /// The quantity in the unit it was given in.
        found: String,
        /// The least that is accepted.
        least: String,
        /// The most that is accepted.
        most: String,
    },
}

impl QuantityError {
    /// Says what to do next, where there is one thing to do.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::Empty { .. } | Self::TooLong { .. } | Self::NotANumber { .. } => {
                Some("Write a number, then its unit.".to_owned())
            }
            Self::DecimalComma { suggestion, .. } => {
                Some(format!("Write a decimal point: \"{suggestion}\"."))
            }
            Self::UnknownUnit { .. } => Some("Write one of those units after the number.".to_owned()),
            Self::BadFraction { .. } => {
                Some("Write a proper fraction of an inch, such as \"33 1/4 in\".".to_owned())
            }
            Self::NotFinite { .. } => None,
            Self::Absurd { .. } => Some("Look at the unit and the decimal point.".to_owned()),
        }
    }
}
