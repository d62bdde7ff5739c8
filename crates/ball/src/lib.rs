//! The ball: what a head does to it at impact, how it flies, and what a strike, a lie or a loft is worth in yards.

pub mod carried;
pub mod even_gaps;
pub mod flight;
pub mod impact;
pub mod lie_cost;
pub mod shot;
pub mod standard_ball;
pub mod strike_map;
pub mod unknowns;
pub mod usual_delivery;
