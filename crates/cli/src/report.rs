//! What is told in a terminal: the plan of a set, and a trial.

mod layout;
pub(crate) mod text;
pub(crate) mod trial;
