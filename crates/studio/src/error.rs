//! What the studio refuses, and what to do then.

/// Why something was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StudioError {
    /// An id that no record has.
    #[error("expected the id of a record, found something else")]
    BadId,
    /// A text that is empty, too long or holds signs no text has.
    #[error("{what}: expected {expected}, found {found}")]
    BadText {
        /// What the text is for.
        what: &'static str,
        /// What was expected.
        expected: String,
        /// What was found.
        found: String,
    },
    /// A value that cannot be read or cannot be meant.
    #[error("{message}")]
    BadValue {
        /// What was expected and found.
        message: String,
        /// What to do.
        hint: Option<String>,
    },
    /// A job does not go from one state to the other.
    #[error("a job that is {from} does not become {to}")]
    NotFromHere {
        /// The state it is in.
        from: &'static str,
        /// The state asked for.
        to: &'static str,
    },
}

impl From<trial::TrialError> for StudioError {
    fn from(error: trial::TrialError) -> Self {
        Self::BadValue { message: error.to_string(), hint: Some(error.hint().to_owned()) }
    }
}

impl StudioError {
    /// Returns what to do, where there is something.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::BadValue { hint, .. } => hint.clone(),
            Self::BadId => Some("Go back to the golfer and open it from there.".to_owned()),
            Self::BadText { .. } | Self::NotFromHere { .. } => None,
        }
    }
}
