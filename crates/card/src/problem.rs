//! What is wrong with a card, in words a fitter can act on.

use std::fmt;

/// One thing wrong with a card: where, what was expected and found, what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardProblem {
    /// Line of the card, from 1; `None` when the card as a whole is meant.
    pub line: Option<usize>,
    /// The key, as in `club "7 iron", mass`.
    pub key: Option<String>,
    /// What was expected and what was found.
    pub message: String,
    /// What to do next.
    pub hint: Option<String>,
}

impl CardProblem {
    /// A problem of the card as a whole.
    pub(crate) fn whole(message: String, hint: &str) -> Self {
        Self { line: None, key: None, message, hint: Some(hint.to_owned()) }
    }
}

impl fmt::Display for CardProblem {
    /// Prints `line 14: club "7 iron", mass: mass -426.0 g is outside 150 to 800 g`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}: ")?;
        }
        if let Some(key) = &self.key {
            write!(f, "{key}: ")?;
        }
        f.write_str(&self.message)
    }
}
