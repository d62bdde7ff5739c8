//! A target that was kept, with everything it came from.

use crate::Id;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A target the fitter decided to keep.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeptTarget {
    /// Its id.
    pub id: Id,
    /// The golfer.
    pub golfer: Id,
    /// Six-iron by the rule, not rounded, in.
    pub six_iron_in: f64,
    /// Half-width of the interval that holds it 80 times in 100, in.
    pub half_width_in: f64,
    /// The target as it stands on sheets, `37 3/4 in ± 7/16 in`.
    pub words: String,
    /// The fitting card it came from: readings, clubs and the house with its rule.
    pub card: String,
    /// Who kept it.
    pub by: String,
    /// When, milliseconds UTC.
    pub at_ms: i64,
    /// Taken back.
    #[serde(default)]
    pub removed: bool,
}
