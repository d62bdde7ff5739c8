//! Ids: made by whoever makes the record, before it is sent, so that sending twice counts once.

use crate::StudioError;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt::{self, Write as _};

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

    /// Writes sixteen bytes as an id; whoever makes them sees to it that they are told apart.
    #[must_use]
    pub fn of_bytes(bytes: [u8; 16]) -> Self {
        let mut text = String::with_capacity(36);
        for (at, byte) in bytes.into_iter().enumerate() {
            if matches!(at, 4 | 6 | 8 | 10) {
                text.push('-');
            }
            // writing into a String does not fail
            let _ = write!(text, "{byte:02x}");
        }
        Self(text)
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
    fn bytes_make_an_id_that_is_read_again() {
        let bytes =
            [0x01, 0x93, 0x8a, 0x6e, 0x1b, 0x2c, 0x7d, 0xef, 0x81, 0x23, 0x45, 0x67, 0x89, 0xab, 0xcd, 0x0f];
        let id = Id::of_bytes(bytes);
        assert_eq!(id.as_str(), "01938a6e-1b2c-7def-8123-456789abcd0f");
        assert_eq!(Id::parse(id.as_str()), Ok(id));
    }

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
