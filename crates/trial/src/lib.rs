//! The strike trial: which length suits a golfer's strike, how sure that is, and what another day would tell.

mod answer;
mod cost;
mod draws;
mod error;
mod evidence;
mod grid;
mod lattice;
mod line;
mod math;
mod normal;
mod posterior;
mod prior;
pub mod quadrature;
mod strike;
mod student;
mod two_by_two;

pub use answer::{Answer, NEAR_ENOUGH_MM2, ends, expected_squares, quantile};
pub use cost::{Cost, Surface};
pub use draws::{Draw, draws};
pub use error::TrialError;
pub use grid::Spread;
pub use normal::{Restricted, restricted};
pub use posterior::{Evidence, Model, Moments, Posterior, quantile_of_weighted};
pub use prior::LengthBelief;
pub use strike::{Axis, Day, MOST_BALLS, Strike, Strikes, is_same_length};
pub use two_by_two::{Pair, Symmetric};
