//! From target to bench work: the ways to get there, the one to take and why, and the job.
//!
//! For every club of the set the ways are worked out with their true side effects, held against the
//! house's limits, and one is recommended in a sentence with the runner-up beside it. The job puts the
//! chosen ways in the bench's safe order with parts, checks and cautions.

mod choice;
mod error;
mod feel;
mod house;
mod job;
mod operations;
mod parts;
mod remedy;
mod set_plan;
mod standing;
mod state;
mod way;

pub use choice::Choice;
pub use error::BenchError;
pub use feel::Feel;
pub use house::{BendLimits, Hold, House};
pub use job::{ClubCheck, Job, Operation, Section, ToBeSaid};
pub use parts::{Lengths, PartLine};
pub use remedy::{Fix, Remedy, TapeLength};
pub use set_plan::{ClubPlan, ClubTarget, FaceIfUnbent, PlanProblem, SetPlan, Where, WishedClub, plan};
pub use standing::Standing;
pub use state::State;
pub use way::{Outcome, Way, WayKind};
