//! The strike trial: which length suits a golfer's strike, how sure that is, and what another day would tell.

mod analysis;
mod answer;
mod cost;
mod decision;
mod design;
mod draws;
mod error;
mod evidence;
mod grid;
mod lattice;
mod line;
mod make_up;
mod many_golfers;
mod math;
mod next_day;
mod normal;
mod normal_mixture;
mod permutation;
mod pooled;
mod posterior;
mod prior;
mod profile;
pub mod quadrature;
mod response;
mod said;
mod scatter;
mod strike;
mod student;
mod studio_rule;
mod tape;
mod two_by_two;

pub use analysis::{Analysis, Base, METRES_A_MM2, OneDay, Settings, Warning};
pub use answer::{Answer, NEAR_ENOUGH_MM2, ends, quantile};
pub use cost::{Cost, Surface};
pub use decision::{
    Decision, FEWEST_BALLS, Judging, Kind, LEAST_SPREAD_OF_LENGTHS, Missing, decide, missing,
};
pub use design::{Balance, Plan, VisitOrder};
pub use draws::{Draw, draws};
pub use error::TrialError;
pub use grid::Spread;
pub use make_up::{MakeUp, STAYS_OFF_MM, USUAL_LIE_DEG, odds_length_cannot_cure};
pub use next_day::{NextDay, next_day};
pub use normal::{Restricted, restricted};
pub use permutation::{SHUFFLES, shuffled_as_often};
pub use pooled::{BETWEEN_SCALE_IN, Pooled};
pub use posterior::{Evidence, Model, Moments, Posterior, quantile_of_weighted};
pub use prior::{DAY_LEVEL_SCALE, DAY_SLOPE_SCALE, HABIT_SD, LEVEL_SD, LengthBelief, SCATTER, SLOPE_SD};
pub use profile::{FIT_PLACES, HABIT_SDS_MM, NUMBERS, Profile, fit_place_in};
pub use response::{Response, ResponseSlope, Responses, response_slopes};
pub use said::{Claim, said_at_least, said_at_most};
pub use scatter::{WiderAt, wider_at};
pub use strike::{
    Axis, Day, FARTHEST_MARK_MM, FARTHEST_OFFSET_IN, MOST_BALLS, SCATTER_MM, Strike, Strikes, is_same_length,
};
pub use studio_rule::{
    FARTHEST_KNUCKLE_IN, FEWEST_GOLFERS, INTERCEPT_SD_IN, Learnt, RuleErrors, SLOPE_ERROR_SD,
    SPREAD_SCALE_IN, StudioRule, Tried, WhyTried,
};
pub use tape::{Reading, read as read_without_a_model};
pub use two_by_two::{Pair, Symmetric};
