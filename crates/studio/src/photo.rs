//! A photo: the picture lies in a file under its id, this is what is known of it.

use crate::Id;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A photo of a club or of the golfer's set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Photo {
    /// Its id, also the name of its file.
    pub id: Id,
    /// The golfer.
    pub golfer: Id,
    /// The club it shows, if one.
    #[serde(default)]
    pub club: Option<Id>,
    /// What it shows, in the fitter's words.
    #[serde(default)]
    pub caption: Option<String>,
    /// Size of the file in bytes.
    pub bytes: i64,
    /// Width in pixels.
    pub width: i64,
    /// Height in pixels.
    pub height: i64,
    /// Who took it.
    pub by: String,
    /// When, milliseconds UTC.
    pub at_ms: i64,
    /// Taken back.
    #[serde(default)]
    pub removed: bool,
}
