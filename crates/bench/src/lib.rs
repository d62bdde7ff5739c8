//! From target to bench work: the ways to get there, the one to take and why, and the job.
//!
//! For every club of the set the ways are worked out with their true side effects, held against the
//! house's limits, and one is recommended in a sentence with the runner-up beside it. The job puts the
//! chosen ways in the bench's safe order with parts, checks and cautions.

mod build;
mod check_reading;
mod choice;
mod club_check;
mod club_plan;
mod club_target;
mod error;
mod feel;
mod frequency;
mod house;
mod job;
mod operations;
mod outcome;
mod parts;
mod remedy;
mod set_plan;
mod standing;
mod state;
mod way;
mod yards;

pub use build::{
    Aim, AimedNumber, Binding, Build, BuildAnswer, BuildError, BuildRules, BuiltClub, ClubToBuild, ShelfPart,
    build_set,
};
pub use check_reading::CheckReading;
pub use choice::Choice;
pub use club_check::ClubCheck;
pub use club_plan::{ClubPlan, FaceIfUnbent};
pub use club_target::{ClubTarget, TargetBasis};
pub use error::BenchError;
pub use feel::Feel;
pub use house::{BendLimits, Hold, House};
pub use job::{Job, Section, ToBeSaid, WhySaid};
pub use operations::Operation;
pub use outcome::Outcome;
pub use parts::{Lengths, PartKind, PartLine};
pub use remedy::{Fix, Remedy, TapeLength};
pub use set_plan::{PlanProblem, SetPlan, Where, WishedClub, plan};
pub use standing::Standing;
pub use state::State;
pub use way::{Way, WayKind};
pub use yards::{ClubInHand, Evened, HEAD_SPEED_AN_INCH_MPS, Lengthened, NoYards, Yards};
