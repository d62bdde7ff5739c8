//! The ball: what a head does to it at impact, how it flies, and what a strike, a lie error or a length is worth.

mod flight;
pub mod impact;
pub mod standard_ball;
