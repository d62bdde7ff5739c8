//! A golfer's club: a name; everything else about it is readings.

use crate::{Id, StudioError};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A club the golfer owns.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnedClub {
    /// Its id.
    pub id: Id,
    /// The golfer.
    pub golfer: Id,
    /// The golfer's name for it, as `7 iron`.
    pub name: String,
    /// The way the fitter wishes for it, by its words, where it is not the tool's.
    #[serde(default)]
    pub way: Option<String>,
    /// Put away: not listed, nothing lost.
    #[serde(default)]
    pub removed: bool,
}

impl OwnedClub {
    /// Refuses a name that says no club.
    ///
    /// # Errors
    /// What was expected and what to write.
    pub fn check_name(name: &str) -> Result<(), StudioError> {
        ::club::ClubKind::from_name(name)
            .map(|_| ())
            .map_err(|error| StudioError::BadValue { message: error.to_string(), hint: error.hint() })
    }
}
