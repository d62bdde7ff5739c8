//! Impact: from the head as it is delivered to the ball as it leaves.
//!
//! Head and ball are rigid and touch at one point for so short a time that nothing moves meanwhile; the shaft is a few
//! grams that go with the head. What is worked out is one impulse: how fast the two part along the face's normal
//! (restitution), how the face grips (sticks, or slides by Coulomb's friction), and how the head turns when it is struck
//! off its centre of mass. Model, calibration and known biases: `docs/derivations/impact.md`.
//!
//! Axes of the world: x to the target, y left, z up. Axes of a head, at no loft and square: x out of the face, y toward
//! the heel, z up the face, zero at the face's centre. Everything is worked out for a right-hander, whose trail side is
//! right; [`Impact::of_left_hander`] mirrors what comes out. Signs of what goes in are relative to the golfer: open,
//! upright, toe, high and a path toward the trail side are positive.

mod collision;
mod delivery;
mod error;
mod head;
mod lie;
mod outcome;
mod representative;
mod sources;
mod stand_in;

pub use delivery::{Delivery, StrikePlace};
pub use error::ImpactError;
pub use head::{Face, Head, LARGEST_FACE, Restitution, WALL};
pub use lie::{LieStart, start_with_lie_error};
pub use outcome::{Impact, strike};
pub use representative::{
    BLADE_5_IRON, CAVITY_5_IRON, CAVITY_7_IRON, DRIVER, FAIRWAY_WOOD, HEADS, HYBRID, PUBLISHED_DRIVER,
    RepresentativeHead, SHAFT_SHARE_KG, WEDGE,
};
pub use sources::{HeadSources, RestsOn};
pub use stand_in::{HeadWanted, IronBuild, StandIn, head_of_club};

/// Refuses a number outside what it can mean; a number that is none lies in no range.
pub(crate) fn within(
    what: &'static str,
    found: f64,
    range: (f64, f64),
    unit: &'static str,
) -> Result<(), ImpactError> {
    ImpactError::unless_within(what, found, range, unit)
}
