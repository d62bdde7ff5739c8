//! A visit: a day on which a golfer came, and what for.

use crate::Id;
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A golfer's visit. What was read and done on its day belongs to it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Visit {
    /// Its id.
    pub id: Id,
    /// The golfer.
    pub golfer: Id,
    /// The day.
    #[schemars(with = "String", extend("format" = "date"))]
    pub day: Date,
    /// What they came for.
    #[serde(default)]
    pub about: Option<String>,
    /// Who saw them.
    pub by: String,
    /// When it was written down first, milliseconds UTC.
    pub at_ms: i64,
    /// Taken back.
    #[serde(default)]
    pub removed: bool,
}
