//! Flight: from launch to where the ball comes to rest.
//!
//! Axes: x to the target, y left, z up, the tee at the origin; metres, seconds. Azimuth and side distance are positive
//! to the left, the tilt of the spin axis is positive when the ball curves right. A left-hander's shot is mirrored by
//! the caller: the signs of azimuth, side wind, tilt and side distance change, nothing else does.
//!
//! The ball is a point with drag along the air and lift square to it and to an axis of spin that keeps its direction.
//! How a head gives it speed and spin is [`crate::impact`]'s subject. Model, sources and what its figures are worth:
//! `docs/derivations/flight.md`.

mod aerodynamics;
mod air;
mod ball;
mod conditions;
mod dormand_prince;
mod error;
mod fitted_range;
mod launch;
mod many;
mod motion;
mod run;
mod trajectory;
mod wind;

pub use aerodynamics::{Aerodynamics, CARRY_KNOWN_WITHIN_M};
pub use air::{Air, Weather, pressure_at_altitude_pa};
pub use ball::{
    Ball, INERTIA_PUBLISHED_KG_M2, LARGEST_MASS_KG, SMALLEST_DIAMETER_M, UNIFORM_SPHERE_INERTIA_SHARE,
};
pub use conditions::{Accuracy, Conditions};
pub use error::FlightError;
pub use fitted_range::{Outside, outside_fitted_range};
pub use launch::Launch;
pub use many::fly_many;
pub use run::{AfterBounce, Bounce, Ground, RUN_KNOWN_WITHIN_SHARE, Run, bounce, run_out};
pub use trajectory::{Apex, Flown, Landing, Moment, Trajectory, fly, fly_along};
pub use wind::Wind;

/// Standard acceleration of gravity, m/s². Standard: ISO 80000-3.
pub const GRAVITY_MPS2: f64 = 9.806_65;

/// Radians a second in one revolution a minute. Definition.
pub(crate) const RAD_S_PER_RPM: f64 = std::f64::consts::PI / 30.0;
