//! The pieces pages are made of.

pub(crate) mod bench;
pub(crate) mod body_drawing;
pub(crate) mod check;
pub(crate) mod club_cells;
pub(crate) mod field;
pub(crate) mod numbers;
pub(crate) mod problem;
pub(crate) mod quote;
pub(crate) mod responses;
pub(crate) mod shelf_of_job;
pub(crate) mod target_box;
pub(crate) mod ways;
pub(crate) mod yards;
pub(crate) mod yards_of_trial;
