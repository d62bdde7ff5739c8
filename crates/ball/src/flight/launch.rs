//! How the ball leaves the face.

use super::RAD_S_PER_RPM;
use super::error::{FlightError, within};
use nalgebra::Vector3;

/// Speed, direction and spin at the start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Launch {
    /// Ball speed, m/s.
    pub speed_mps: f64,
    /// Angle above the level, degrees.
    pub launch_angle_deg: f64,
    /// Direction of start, degrees; left of the target is positive.
    pub azimuth_left_deg: f64,
    /// Whole rate of spin, rev/min.
    pub spin_rpm: f64,
    /// Tilt of the spin axis out of the level, degrees; a ball that curves right is positive, 0 is pure backspin.
    pub axis_tilt_right_deg: f64,
}

impl Launch {
    /// Returns a launch straight at the target with pure backspin.
    #[must_use]
    pub fn straight(speed_mps: f64, launch_angle_deg: f64, spin_rpm: f64) -> Self {
        Self { speed_mps, launch_angle_deg, azimuth_left_deg: 0.0, spin_rpm, axis_tilt_right_deg: 0.0 }
    }

    /// Returns the velocity, m/s.
    #[must_use]
    pub fn velocity_mps(&self) -> Vector3<f64> {
        let (sin_up, cos_up) = self.launch_angle_deg.to_radians().sin_cos();
        let (sin_left, cos_left) = self.azimuth_left_deg.to_radians().sin_cos();
        self.speed_mps * Vector3::new(cos_up * cos_left, cos_up * sin_left, sin_up)
    }

    /// Returns the unit vector the ball turns about, by the right hand.
    ///
    /// Level and square to the direction of start for pure backspin; tilted about that direction, toward the vertical.
    #[must_use]
    pub fn spin_axis(&self) -> Vector3<f64> {
        let (sin_left, cos_left) = self.azimuth_left_deg.to_radians().sin_cos();
        let (sin_tilt, cos_tilt) = self.axis_tilt_right_deg.to_radians().sin_cos();
        Vector3::new(sin_left * cos_tilt, -cos_left * cos_tilt, -sin_tilt)
    }

    /// Returns the rate of spin, rad/s.
    #[must_use]
    pub fn spin_rad_s(&self) -> f64 {
        self.spin_rpm * RAD_S_PER_RPM
    }

    /// What a club can do to a ball, with room. Kind of the ranges: definition of what the tool takes.
    pub(super) fn check(&self) -> Result<(), FlightError> {
        within("ball speed", self.speed_mps, 1.0, 120.0, "m/s")?;
        within("launch angle", self.launch_angle_deg, -90.0, 90.0, "deg")?;
        within("azimuth", self.azimuth_left_deg, -90.0, 90.0, "deg")?;
        within("spin rate", self.spin_rpm, 0.0, 20_000.0, "rpm")?;
        within("tilt of the spin axis", self.axis_tilt_right_deg, -90.0, 90.0, "deg")
    }
}
