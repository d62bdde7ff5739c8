//! What can be wrong with the strikes of a trial.

use crate::strike::{Axis, SCATTER_MM};

/// Why strikes were refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TrialError {
    /// A number that cannot be meant.
    #[error(
        "session {session}, ball {order}: {column} of {found} {unit} is outside -{most} to {most} {unit}"
    )]
    OutOfRange {
        /// The session's label.
        session: u32,
        /// The ball's place in it.
        order: u32,
        /// Which number.
        column: &'static str,
        /// The value found.
        found: f64,
        /// The most that can be meant, either way.
        most: f64,
        /// Its unit.
        unit: &'static str,
    },
    /// Two balls at one place of a session.
    #[error("session {session} has ball {order} twice")]
    BallTwice {
        /// The session's label.
        session: u32,
        /// The place.
        order: u32,
    },
    /// The same balls under two labels.
    #[error("sessions {first} and {second} hold the same balls")]
    SessionTwice {
        /// The one.
        first: u32,
        /// The other.
        second: u32,
    },
    /// A scatter no person has.
    #[error(
        "balls of one day scatter about its line by {sd_mm:.1} mm {}; people scatter by {} to {} mm",
        direction(.axis), SCATTER_MM.0, SCATTER_MM.1
    )]
    Scatter {
        /// Which way.
        axis: Axis,
        /// The standard deviation found.
        sd_mm: f64,
    },
    /// Offsets that are eighths of an inch only when read as centimetres.
    #[error("offsets such as {found} are eighths of an inch in centimetres; they are expected in inches")]
    OffsetsInCentimetres {
        /// The offset farthest from the rule's length.
        found: f64,
    },
    /// More balls than anyone hits.
    #[error("expected at most {most} balls, found {found}")]
    TooManyBalls {
        /// How many were given.
        found: usize,
        /// How many are taken.
        most: usize,
    },
    /// A plan that cannot be hit.
    #[error("{what} of {found} is outside {expected}")]
    BadPlan {
        /// Which number of the plan.
        what: &'static str,
        /// The value found.
        found: String,
        /// What it may be.
        expected: &'static str,
    },
    /// A prior or setting that cannot be.
    #[error("{what} of {found} is outside {expected}")]
    BadSetting {
        /// Which setting.
        what: &'static str,
        /// The value found.
        found: f64,
        /// What it may be.
        expected: &'static str,
    },
    /// Numbers that are no profile.
    #[error("expected {expected} numbers of a profile, found {found}")]
    ProfileLength {
        /// How many were given.
        found: usize,
        /// How many make a profile.
        expected: usize,
    },
    /// Golfers too few to speak of a rule.
    #[error("expected at least {fewest} golfers whose strikes tell something of length, found {found}")]
    TooFewGolfers {
        /// How many there are.
        found: usize,
        /// How many it takes.
        fewest: usize,
    },
    /// A number no profile holds.
    #[error("number {place} of a profile is {found}, outside -{most} to {most}")]
    ProfileNumber {
        /// Its place, from 0.
        place: usize,
        /// The value found.
        found: f64,
        /// The most either way.
        most: f64,
    },
}

fn direction(axis: &Axis) -> &'static str {
    match axis {
        Axis::Toe => "between heel and toe",
        Axis::High => "between low and high",
    }
}

impl TrialError {
    /// Says what to do next.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::OutOfRange { column: "offset", .. } => {
                "Offsets are inches from the length the rule gives: 0.25 is a quarter inch longer."
            }
            Self::OutOfRange { .. } => {
                "Places are millimetres from the sweet spot, toe and high positive. A ball topped or shanked is left out."
            }
            Self::BallTwice { .. } => "Number the balls of a session in the order they were hit, each once.",
            Self::SessionTwice { .. } => "A session entered twice would count as two days. Leave one out.",
            Self::Scatter { .. } => {
                "Are the places in another unit? They are millimetres; an inch is 25.4 mm, a centimetre 10 mm."
            }
            Self::OffsetsInCentimetres { .. } => {
                "Divide the offsets by 2.54. If they are inches after all, give them to a sixteenth: 0.625, not 0.64."
            }
            Self::TooManyBalls { .. } => "Give the balls of one golfer's trial.",
            Self::BadPlan { .. } => "Choose another number and plan again.",
            Self::ProfileLength { .. } | Self::ProfileNumber { .. } => {
                "Work the profile out anew from the strikes."
            }
            Self::TooFewGolfers { .. } => "Keep the rule as it is until more golfers have been tried.",
            Self::BadSetting { .. } => "Correct the setting.",
        }
    }
}
