//! What can be wrong with a house's limits or a set of clubs.

use club::ClubError;
use fitting::FittingError;
use quantity::{Length, Mass};

/// Why a set could not be planned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BenchError {
    /// A body reading was refused.
    #[error(transparent)]
    Fitting(#[from] FittingError),
    /// A club was refused.
    #[error(transparent)]
    Club(#[from] ClubError),
    /// The way wished for is not among those this club can take.
    #[error("this club cannot take that way{}", why.as_ref().map(|why| format!(": {why}")).unwrap_or_default())]
    WayNotOpen {
        /// Why not, where the way was refused.
        why: Option<String>,
        /// The ways it can take.
        open: String,
    },
    /// A limit of the house contradicts another, or goes beyond what is usually done.
    #[error(
        "the house limit {what} of {} is outside {} to {}",
        found.decimal_inches(3),
        least.decimal_inches(3),
        most.decimal_inches(3)
    )]
    HouseLimit {
        /// Which limit.
        what: &'static str,
        /// The value found.
        found: Length,
        /// The least it may be.
        least: Length,
        /// The most it may be.
        most: Length,
    },
    /// A mass among the house's limits that cannot be meant.
    #[error("the house limit {what} of {} is outside 0 to 200 g", found.grams_printed(1))]
    HouseMass {
        /// Which limit.
        what: &'static str,
        /// The value found.
        found: Mass,
    },
    /// A way was wished for a club the rule does not speak of.
    #[error("the length rule does not speak of this club, so it takes no way")]
    OutsideTheRule,
}

impl BenchError {
    /// Says what to do next.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::Fitting(error) => error.hint(),
            Self::Club(error) => error.hint(),
            Self::WayNotOpen { open, .. } => Some(format!("Open to it: {open}. Or leave `way` out.")),
            Self::OutsideTheRule => Some("Leave `way` out for woods, hybrids and putters.".to_owned()),
            Self::HouseMass { .. } | Self::HouseLimit { .. } => {
                Some("Correct it under [house] in the card.".to_owned())
            }
        }
    }
}
