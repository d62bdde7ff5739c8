//! The plan of a set, told as text for a terminal and as one JSON document.

pub(crate) mod json;
pub(crate) mod text;
