//! The impulse between a rigid head and a ball at rest.
//!
//! K turns an impulse at the contact into the change of the velocity with which the two surfaces part there. Asking for
//! the restitution along the normal and across it gives the impulse of a ball that sticks; when that needs more friction
//! than there is, the ball slides and the impulse leans back along the slip by the friction alone.
//!
//! Source: derived, `docs/derivations/impact.md`.

use crate::standard_ball;
use nalgebra::{Matrix3, Vector3};

/// Head and ball in the world's axes, in the moment of touching; the ball rests and the head does not turn.
#[derive(Debug, Clone, Copy)]
pub(super) struct Touching {
    /// Mass of the head with the shaft's share, kg.
    pub(super) head_mass_kg: f64,
    /// Inverse of the head's inertia tensor about its centre of mass, 1/(kg m²).
    pub(super) inverse_inertia: Matrix3<f64>,
    /// From the head's centre of mass to the contact, m.
    pub(super) arm_m: Vector3<f64>,
    /// Unit vector out of the face.
    pub(super) normal: Vector3<f64>,
    /// Velocity of the head, m/s.
    pub(super) head_velocity: Vector3<f64>,
}

/// How the surfaces act on each other.
#[derive(Debug, Clone, Copy)]
pub(super) struct Surfaces {
    pub(super) restitution: f64,
    pub(super) tangential_restitution: f64,
    pub(super) friction: f64,
}

/// The impulse on the ball.
#[derive(Debug, Clone, Copy)]
pub(super) struct Impulse {
    /// Impulse, N s.
    pub(super) on_ball: Vector3<f64>,
    /// Whether the ball still slides when it leaves.
    pub(super) slides: bool,
}

/// Speeds and spins after the impulse.
#[derive(Debug, Clone, Copy)]
pub(super) struct Parted {
    pub(super) ball_velocity: Vector3<f64>,
    pub(super) ball_spin: Vector3<f64>,
    pub(super) head_velocity: Vector3<f64>,
    pub(super) head_spin: Vector3<f64>,
}

impl Touching {
    /// How fast the face comes toward the ball along its normal, m/s.
    pub(super) fn approach_mps(&self) -> f64 {
        self.head_velocity.dot(&self.normal)
    }

    /// Works out the impulse of a face that comes toward the ball.
    pub(super) fn impulse(&self, surfaces: &Surfaces) -> Impulse {
        let n = self.normal;
        // u: velocity of the ball's surface against the face's
        let u = -self.head_velocity;
        let u_n = u.dot(&n);
        let u_t = u - u_n * n;
        let k = self.answer_to_an_impulse();
        let parting = -surfaces.restitution * u_n * n - surfaces.tangential_restitution * u_t;
        let sticking =
            k.lu().solve(&(parting - u)).expect("K is positive definite: it holds 1/m on its diagonal");
        let (along, across) = (sticking.dot(&n), sticking - sticking.dot(&n) * n);
        if across.norm() <= surfaces.friction * along {
            return Impulse { on_ball: sticking, slides: false };
        }
        // without slip there is no direction of its own: friction then acts as sticking would
        let against_slip = (-u_t).try_normalize(0.0).unwrap_or_else(|| across.normalize());
        let leaning = n + surfaces.friction * against_slip;
        let along = (1.0 + surfaces.restitution) * -u_n / n.dot(&(k * leaning));
        Impulse { on_ball: along * leaning, slides: true }
    }

    /// K: change of the parting velocity at the contact for an impulse of one, 1/kg.
    fn answer_to_an_impulse(&self) -> Matrix3<f64> {
        let both_masses = 1.0 / standard_ball::MASS_KG + 1.0 / self.head_mass_kg;
        let ball_turning = standard_ball::RADIUS_M * standard_ball::RADIUS_M / standard_ball::INERTIA_KG_M2;
        let arm = self.arm_m.cross_matrix();
        Matrix3::identity() * both_masses
            + (Matrix3::identity() - self.normal * self.normal.transpose()) * ball_turning
            - arm * self.inverse_inertia * arm
    }

    /// Applies an impulse to the ball and its opposite to the head.
    pub(super) fn parted(&self, on_ball: Vector3<f64>) -> Parted {
        let to_contact = -standard_ball::RADIUS_M * self.normal;
        Parted {
            ball_velocity: on_ball / standard_ball::MASS_KG,
            ball_spin: to_contact.cross(&on_ball) / standard_ball::INERTIA_KG_M2,
            head_velocity: self.head_velocity - on_ball / self.head_mass_kg,
            head_spin: -(self.inverse_inertia * self.arm_m.cross(&on_ball)),
        }
    }
}
