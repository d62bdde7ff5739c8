//! A club as parts: mass, balance, swingweight, inertia, lie, and what an alteration does to them.
//!
//! Axis: along the shaft, zero at the grip end (the top of the cap), positive toward the head.
//! Everything here is at rest, and rigid but for [`shaft`], which asks how a clamped club vibrates; how a club is
//! swung is not asked.
//!
//! Two conventions of where the head's mass sits are kept apart on purpose: [`assembly`] is the
//! drawing board (the head's centre set back from the length mark), [`bench_model`] is the bench
//! (the head on the length mark, which is how a fitter reckons head weights).

pub mod alter;
pub mod assembly;
pub mod bench_model;
mod entry;
mod error;
pub mod grip_size;
pub mod hold;
mod kind;
pub mod lie;
mod moments;
pub mod pendulum;
mod range;
mod record;
pub mod rules;
pub mod set_match;
pub mod shaft;
pub mod sole_mark;
mod straight_line;
mod swingweight;
pub mod tape;
mod typical;

pub use entry::{ClubEntry, EntryProblem};
pub use error::ClubError;
pub use kind::{ClubKind, Wedge};
pub use moments::MassMoments;
pub use record::{Assumption, Club, Condition, Construction, Grip, Head, Plug, Shaft, ShaftMaterial};
pub use straight_line::StraightLine;
pub use swingweight::{FULCRUM, Swingweight};
pub use typical::{Typical, typical};
