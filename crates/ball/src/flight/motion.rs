//! The equation of motion: gravity, drag, lift and the loss of spin.

use super::{Conditions, GRAVITY_MPS2, Launch};
use nalgebra::{SVector, Vector3};

/// Place x, y, z (m), velocity x, y, z (m/s), spin (rad/s).
pub(super) type State = SVector<f64, 7>;
/// Where the height stands in a state.
pub(super) const HEIGHT: usize = 2;
/// Where the speed upward stands in a state.
pub(super) const CLIMB: usize = 5;

/// What stays the same during one flight.
pub(super) struct Motion<'a> {
    conditions: &'a Conditions,
    spin_axis: Vector3<f64>,
    radius_m: f64,
    /// ρ A / 2 m, 1/m.
    air_per_mass: f64,
    /// ρ d / µ, s/m.
    reynolds_per_mps: f64,
    /// Height of the ground the wind is counted from, m.
    ground_m: f64,
}

impl<'a> Motion<'a> {
    pub(super) fn new(launch: &Launch, conditions: &'a Conditions) -> Self {
        let (ball, air) = (&conditions.ball, &conditions.air);
        Self {
            conditions,
            spin_axis: launch.spin_axis(),
            radius_m: ball.radius_m(),
            air_per_mass: 0.5 * air.density_kg_m3 * ball.frontal_area_m2() / ball.mass_kg,
            reynolds_per_mps: air.density_kg_m3 * ball.diameter_m / air.viscosity_pa_s,
            ground_m: conditions.landing_height_m.min(0.0),
        }
    }

    pub(super) fn start(launch: &Launch) -> State {
        let v = launch.velocity_mps();
        State::from([0.0, 0.0, 0.0, v.x, v.y, v.z, launch.spin_rad_s()])
    }

    /// How a state changes in a second.
    pub(super) fn slope_at(&self, state: &State) -> State {
        let [_, _, height_m, vx, vy, vz, spin_rad_s] = state.data.0[0];
        let (wind_x, wind_y) = self.conditions.wind.at_height(height_m - self.ground_m);
        let through_air = Vector3::new(vx - wind_x, vy - wind_y, vz);
        let air_speed_mps = through_air.norm();
        if air_speed_mps <= 0.0 {
            return State::from([vx, vy, vz, 0.0, 0.0, -GRAVITY_MPS2, 0.0]);
        }
        let aerodynamics = &self.conditions.aerodynamics;
        let spin_number = self.radius_m * spin_rad_s / air_speed_mps;
        let lift = aerodynamics.lift_coefficient(spin_number);
        let drag = aerodynamics.drag_coefficient(self.reynolds_per_mps * air_speed_mps, lift);
        let push = self.spin_axis.cross(&through_air) * lift - through_air * drag;
        let a = push * (self.air_per_mass * air_speed_mps);
        let spin_lost = aerodynamics.spin_decay * spin_rad_s * air_speed_mps / self.radius_m;
        State::from([vx, vy, vz, a.x, a.y, a.z - GRAVITY_MPS2, -spin_lost])
    }
}
