//! What can be wrong with a house's limits or a set of clubs.

use club::ClubError;
use fitting::FittingError;
use quantity::{InchStep, Length};

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
    #[error("this club cannot take that way")]
    WayNotOpen {
        /// The ways it can take.
        open: String,
    },
    /// A limit of the house contradicts another, or goes beyond what is usually done.
    #[error(
        "the house limit {what} of {} is outside {} to {}",
        found.with_metric(InchStep::ThirtySecond),
        least.to_step(InchStep::ThirtySecond),
        most.to_step(InchStep::ThirtySecond)
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
}

impl BenchError {
    /// Says what to do next.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::Fitting(error) => error.hint(),
            Self::Club(error) => error.hint(),
            Self::WayNotOpen { open } => Some(format!("Open to it: {open}. Or leave `way` out.")),
            Self::HouseLimit { .. } => Some("Correct it under [house] in the card.".to_owned()),
        }
    }
}
