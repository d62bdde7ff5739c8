//! Seeing a golfer again.

use crate::Id;
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A day to see the golfer again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FollowUp {
    /// Its id.
    pub id: Id,
    /// The golfer.
    pub golfer: Id,
    /// The job it follows, if any.
    #[serde(default)]
    pub job: Option<Id>,
    /// The day.
    #[schemars(with = "String", extend("format" = "date"))]
    pub due: Date,
    /// What to look at.
    #[serde(default)]
    pub what: Option<String>,
    /// The day it was done.
    #[serde(default)]
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub done: Option<Date>,
    /// What was found.
    #[serde(default)]
    pub found: Option<String>,
    /// Taken back.
    #[serde(default)]
    pub removed: bool,
}
