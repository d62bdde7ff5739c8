//! Ids: made by whoever makes the record, before it is sent, so that sending twice counts once.

use crate::StudioError;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

/// The id of a record or of a change: a UUID in lower case.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(with = "String", extend("pattern" = "^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$"))]
pub struct Id(String);

impl Id {
    /// Reads an id.
    ///
    /// # Errors
    /// [`StudioError::BadId`] when it is no UUID in lower case.
    pub fn parse(text: &str) -> Result<Self, StudioError> {
        let is_id = text.len() == 36
            && text.bytes().enumerate().all(|(at, sign)| match at {
                8 | 13 | 18 | 23 => sign == b'-',
                _ => sign.is_ascii_digit() || (b'a'..=b'f').contains(&sign),
            });
        if is_id { Ok(Self(text.to_owned())) } else { Err(StudioError::BadId) }
    }

    /// Reads the id as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl TryFrom<String> for Id {
    type Error = StudioError;

    fn try_from(text: String) -> Result<Self, StudioError> {
        Self::parse(&text)
    }
}

impl From<Id> for String {
    fn from(id: Id) -> Self {
        id.0
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::Id;

    #[test]
    fn only_a_uuid_in_lower_case_is_an_id() {
        assert!(Id::parse("01938a6e-1b2c-7def-8123-456789abcdef").is_ok());
        for forged in [
            "",
            "1",
            "01938A6E-1b2c-7def-8123-456789abcdef",
            "../../../../etc/passwd",
            "01938a6e-1b2c-7def-8123-456789abcde'",
        ] {
            assert!(Id::parse(forged).is_err(), "{forged}");
        }
    }
}
