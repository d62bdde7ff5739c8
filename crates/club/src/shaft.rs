//! How a clamped club vibrates: its frequency, what an alteration does to it, and the line of a set.
//!
//! The shaft is an Euler beam held rigidly from its butt to the edge of the clamp, with the head as a rigid body at the
//! top of its hosel. Places run along the raw shaft from its butt toward its tip. A frequency is the label of a shaft at
//! a stated clamp and not its stiffness in a swing, where the pull of the head stiffens it about as much again;
//! `docs/derivations/flex.md` has the model, the method and what both leave out.

mod bench_change;
mod calibrate;
mod clamped_club;
mod mounting;
mod panels;
mod profile;
mod set_line;
mod stand_in;
mod uniform;
mod vibration;

pub use bench_change::{BenchBeam, FrequencyAfter};
pub use calibrate::{Calibrated, calibrate};
pub use clamped_club::{Alteration, ClampedClub};
pub use mounting::{FreeSpan, Mounting, PlugBeyondClamp, USUAL_CLAMP};
pub use profile::{MOST_PLACES, Profile, ProfilePoint, Section, Tube};
pub use set_line::{ClubOnLine, FrequencyLine, line_through, set_line};
pub use stand_in::{HEAD_CENTRE_KNOWN_WITHIN, head_stand_in_half_width};
pub use uniform::{UniformBeam, characteristic};
pub use vibration::{MODES, Mode, TipHead};
