//! What a table was read from, as a person is told it.

use super::{Encoding, Separator};
use std::fmt;

/// What a table was read from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Source {
    /// A text.
    Text {
        /// How its bytes were read.
        encoding: Encoding,
        /// What stands between its cells.
        separator: Separator,
    },
    /// A sheet of a workbook.
    Sheet {
        /// Its name.
        name: String,
        /// The names of the sheets beside it, which were not read.
        others: Vec<String>,
    },
}

impl Source {
    /// Says in a sentence what was taken: `a table`, `the sheet "Clubs"`.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Text { .. } => "a table".to_owned(),
            Self::Sheet { name, .. } => format!("the sheet \"{name}\""),
        }
    }
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Text { encoding, separator } => {
                write!(f, "columns apart by {}, {}", separator.words(), encoding.words())
            }
            Self::Sheet { name, others } if others.is_empty() => write!(f, "sheet \"{name}\""),
            Self::Sheet { name, others } => {
                write!(f, "sheet \"{name}\"; not read: {}", quoted(others))
            }
        }
    }
}

/// Most names that are listed; the others are counted. Definition: more are not read by anyone.
const MOST_NAMES: usize = 8;

/// Lists names of sheets.
pub(crate) fn quoted(names: &[String]) -> String {
    let mut listed: Vec<String> = names.iter().take(MOST_NAMES).map(|name| format!("\"{name}\"")).collect();
    if names.len() > MOST_NAMES {
        listed.push(format!("{} more", names.len() - MOST_NAMES));
    }
    listed.join(", ")
}

#[cfg(test)]
mod tests {
    use super::{MOST_NAMES, Source, quoted};

    #[test]
    fn the_sheet_that_was_read_is_named_with_those_that_were_not() {
        let names = |count: usize| (1..=count).map(|number| format!("S{number}")).collect::<Vec<_>>();
        let source = |others| Source::Sheet { name: "Clubs".to_owned(), others }.to_string();
        assert_eq!(source(names(0)), "sheet \"Clubs\"");
        assert_eq!(source(names(2)), "sheet \"Clubs\"; not read: \"S1\", \"S2\"");
        assert!(quoted(&names(MOST_NAMES)).ends_with("\"S8\""));
        assert!(quoted(&names(MOST_NAMES + 3)).ends_with("\"S8\", 3 more"));
    }
}
