//! The ball: what a head does to it at impact, and how a wrong lie makes it start.

pub mod impact;
pub mod standard_ball;
