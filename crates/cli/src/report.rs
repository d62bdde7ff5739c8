//! The plan of a set, told as text for a terminal.

pub(crate) mod text;
