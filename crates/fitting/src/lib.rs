//! From body readings to the length every iron should be, and how sure that is.
//!
//! The measure is the height of the middle knuckle of the lead hand above the floor, arm hanging, fingers
//! hooked as round a handle. A rule of common practice turns it into a six-iron length; the set follows
//! in steps. Every length carries its interval; other measures give second opinions that stand beside the
//! target and are never blended into it. Strikes over days, not this crate, prove a length.

mod believable;
mod chart;
mod error;
mod golfer;
mod hand;
mod junior;
mod readings;
mod second_opinion;
mod static_rule;
mod target;

pub use believable::{Belief, Predictor, SHOE_SOLE};
pub use error::FittingError;
pub use golfer::{FARTHEST_BY_TRIAL, Golfer, Handedness, HeadSpeed, TrialSays};
pub use hand::{FingerSays, GripAdvice, HandSize};
pub use junior::JuniorChart;
pub use readings::{BodyReadings, Sex, Shoes};
pub use second_opinion::{Guide, Opinion, Repeat, measure_to_repeat};
pub use static_rule::{StaticRule, USUAL_CLUBS};
pub use target::{Target, Warning, target};
