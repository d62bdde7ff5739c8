//! How a head comes to the ball.

use super::{Head, ImpactError};
use nalgebra::{Rotation3, Vector3};

/// Speed of a head, m/s. Definition of what the tool takes: a tap to beyond the fastest drivers.
const SPEED_MPS: (f64, f64) = (0.5, 80.0);
/// Dynamic loft, degrees. Definition of what the tool takes.
const LOFT_DEG: (f64, f64) = (-15.0, 80.0);
/// Attack, path, face and lie error either way, degrees. Definition of what the tool takes.
const TURN_DEG: (f64, f64) = (-30.0, 30.0);

/// A place on the face, from its centre.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct StrikePlace {
    /// Toward the toe, mm.
    pub toe_mm: f64,
    /// Up the face, mm.
    pub high_mm: f64,
}

/// A head in the moment before impact. Signs are relative to the golfer; the head does not turn yet.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Delivery {
    /// Speed of the head, m/s.
    pub head_speed_mps: f64,
    /// Loft at the face's centre as delivered, degrees; a rolled face adds to it where it is struck high.
    pub dynamic_loft_deg: f64,
    /// How steeply the head climbs, degrees; down is negative.
    pub attack_deg: f64,
    /// Where the head travels, toward the trail side of the target line +, degrees.
    pub path_deg: f64,
    /// How far the face is open to the target line, degrees; closed is negative.
    pub face_open_deg: f64,
    /// How much too upright the lie is delivered, degrees; too flat is negative.
    pub lie_error_deg: f64,
    /// Where the ball is struck.
    pub place: StrikePlace,
}

impl Delivery {
    /// Refuses a delivery that cannot be meant, numbers that are none included. The face is the head's matter.
    pub(super) fn check(&self) -> Result<(), ImpactError> {
        let numbers = [
            ("head speed", self.head_speed_mps, SPEED_MPS, "m/s"),
            ("dynamic loft", self.dynamic_loft_deg, LOFT_DEG, "deg"),
            ("attack", self.attack_deg, TURN_DEG, "deg"),
            ("path", self.path_deg, TURN_DEG, "deg"),
            ("face angle", self.face_open_deg, TURN_DEG, "deg"),
            ("lie error", self.lie_error_deg, TURN_DEG, "deg"),
        ];
        numbers
            .into_iter()
            .try_for_each(|(what, found, range, unit)| ImpactError::unless_within(what, found, range, unit))
    }

    /// The turn from the head's axes to the world's: loft about y, then the lie error about x, then the face about z.
    pub(super) fn turn(&self) -> Rotation3<f64> {
        let about = |axis, degrees: f64| Rotation3::from_axis_angle(&axis, degrees.to_radians());
        about(Vector3::z_axis(), -self.face_open_deg)
            * about(Vector3::x_axis(), -self.lie_error_deg)
            * about(Vector3::y_axis(), -self.dynamic_loft_deg)
    }

    /// Velocity of the head's centre of mass, m/s.
    pub(super) fn velocity(&self) -> Vector3<f64> {
        let (attack, path) = (self.attack_deg.to_radians(), self.path_deg.to_radians());
        self.head_speed_mps
            * Vector3::new(attack.cos() * path.cos(), -attack.cos() * path.sin(), attack.sin())
    }
}

/// Where head and ball touch, in the head's axes.
pub(super) struct Contact {
    /// The place on the face, m.
    pub(super) place: Vector3<f64>,
    /// Unit vector out of the face there.
    pub(super) normal: Vector3<f64>,
}

impl Contact {
    /// Finds the place on the curved face. Each curve is a circle of its own, so bulge and roll add.
    pub(super) fn on(head: &Head, struck: StrikePlace) -> Self {
        let (y, z) = (-struck.toe_mm / 1000.0, struck.high_mm / 1000.0);
        let (behind_by_bulge, slope_y) = curve(head.face.bulge_radius_m, y);
        let (behind_by_roll, slope_z) = curve(head.face.roll_radius_m, z);
        Self {
            place: Vector3::new(-behind_by_bulge - behind_by_roll, y, z),
            normal: Vector3::new(1.0, slope_y, slope_z).normalize(),
        }
    }
}

/// How far a curve lies behind its foremost point at this distance from it, m, and the slope of its normal there.
fn curve(radius_m: Option<f64>, from_centre_m: f64) -> (f64, f64) {
    radius_m.map_or((0.0, 0.0), |radius| {
        let across = (radius * radius - from_centre_m * from_centre_m).sqrt();
        (radius - across, from_centre_m / across)
    })
}
