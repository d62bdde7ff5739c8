//! Remarks; those about health apart, and only with consent.

use crate::Id;
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A remark about a golfer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Remark {
    /// Its id.
    pub id: Id,
    /// The golfer.
    pub golfer: Id,
    /// The remark.
    pub text: String,
    /// The day the golfer agreed that a health remark is kept; present means it is one.
    #[serde(default)]
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub health_consent: Option<Date>,
    /// Who wrote it.
    pub by: String,
    /// When, milliseconds UTC.
    pub at_ms: i64,
    /// Taken back.
    #[serde(default)]
    pub removed: bool,
}

impl Remark {
    /// Longest remark, characters. Definition of what the tool takes.
    pub const LONGEST: usize = 4000;

    /// Whether it is about health, kept only as long as the golfer agrees.
    #[must_use]
    pub fn is_about_health(&self) -> bool {
        self.health_consent.is_some()
    }
}
