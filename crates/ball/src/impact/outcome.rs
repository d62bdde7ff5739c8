//! What an impact leaves: the ball's launch, and what became of the head.

use super::collision::{Parted, Surfaces, Touching};
use super::delivery::Contact;
use super::{Delivery, Head, ImpactError};
use crate::standard_ball;
use nalgebra::{Matrix3, Vector3};

/// Turns a minute in a radian a second.
const RPM: f64 = 60.0 / std::f64::consts::TAU;
/// Share of the head's energy that rounding may seem to make. Definition.
const ROUNDING: f64 = 1e-9;

/// A struck ball and its head. Directions are as seen along the target line: right +.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Impact {
    /// Ball speed, m/s.
    pub ball_speed_mps: f64,
    /// Ball speed as a share of head speed.
    pub smash: f64,
    /// Climb of the ball, degrees.
    pub launch_deg: f64,
    /// Where the ball starts, right +, degrees.
    pub start_right_deg: f64,
    /// Whole spin rate, rpm.
    pub spin_rpm: f64,
    /// Backspin, rpm, about the level axis across the ball's heading.
    pub back_spin_rpm: f64,
    /// Sidespin, rpm, about the vertical; + curves right.
    pub side_spin_right_rpm: f64,
    /// Spin about the ball's level heading, rpm, as a rifle gives it.
    pub rifle_spin_rpm: f64,
    /// Tilt of the spin axis, degrees; + curves right.
    pub axis_tilt_right_deg: f64,
    /// Whether the ball still slides on the face when it leaves.
    pub slides: bool,
    /// Restitution at this speed.
    pub restitution: f64,
    /// Speed of the face toward the ball along its normal, m/s.
    pub approach_mps: f64,
    /// Impulse along the face's normal, N s.
    pub normal_impulse_ns: f64,
    /// Impulse across the face, N s.
    pub tangential_impulse_ns: f64,
    /// Speed of the head after, m/s.
    pub head_speed_after_mps: f64,
    /// Energy that became heat and ringing, J.
    pub energy_lost_j: f64,
    /// What rounding left of momentum before less momentum after, N s.
    pub momentum_error_ns: f64,
    /// Velocity of the ball on the world's axes, m/s.
    pub ball_velocity_mps: [f64; 3],
    /// Spin of the ball on the world's axes, rad/s.
    pub ball_spin_rad_s: [f64; 3],
    /// Velocity of the head on the world's axes, m/s.
    pub head_velocity_after_mps: [f64; 3],
    /// Turning of the head on the world's axes, rad/s.
    pub head_spin_after_rad_s: [f64; 3],
}

/// Works out what this head, so delivered, does to a ball at rest, for a right-hander.
///
/// # Errors
/// [`ImpactError`] for a head or a delivery that cannot be meant, a strike off the face, a face that moves away from the
/// ball, and numbers with which the model would make energy.
///
/// # Source
/// Derived: `docs/derivations/impact.md`.
///
/// # Example
/// ```
/// use ball::impact::{CAVITY_7_IRON, Delivery, strike};
///
/// let delivery = Delivery { head_speed_mps: 35.8, dynamic_loft_deg: 25.0, attack_deg: -4.0, ..Delivery::default() };
/// let ball = strike(&CAVITY_7_IRON.head, &delivery)?;
/// assert!((47.0..48.0).contains(&ball.ball_speed_mps));
/// # Ok::<(), ball::impact::ImpactError>(())
/// ```
pub fn strike(head: &Head, delivery: &Delivery) -> Result<Impact, ImpactError> {
    head.check()?;
    delivery.check()?;
    head.refuse_off_the_face(delivery.place.toe_mm, delivery.place.high_mm)?;
    let turn = delivery.turn();
    let contact = Contact::on(head, delivery.place);
    let inertia = turn * head.inertia() * turn.inverse();
    let touching = Touching {
        head_mass_kg: head.mass_kg + head.shaft_share_kg,
        inverse_inertia: inertia.try_inverse().expect("a checked tensor is positive definite"),
        arm_m: turn * (contact.place - head.centre()),
        normal: turn * contact.normal,
        head_velocity: delivery.velocity(),
    };
    let approach_mps = touching.approach_mps();
    if approach_mps <= 0.0 {
        return Err(ImpactError::FaceMovesAway { away_mps: -approach_mps });
    }
    let restitution = head.restitution.at(approach_mps)?;
    let impulse = touching.impulse(&Surfaces {
        restitution,
        tangential_restitution: head.tangential_restitution,
        friction: head.friction,
    });
    let parted = touching.parted(impulse.on_ball);
    let energy_lost_j = energy_lost(&touching, &inertia, &parted);
    let energy_before = 0.5 * touching.head_mass_kg * touching.head_velocity.norm_squared();
    if energy_lost_j.is_nan() || energy_lost_j < -ROUNDING * energy_before {
        return Err(ImpactError::EnergyMade { made_j: -energy_lost_j });
    }
    let normal_impulse_ns = impulse.on_ball.dot(&touching.normal);
    let left_over = touching.head_mass_kg * (touching.head_velocity - parted.head_velocity)
        - standard_ball::MASS_KG * parted.ball_velocity;
    let (velocity, spin) = (parted.ball_velocity, Spin::of(&parted));
    Ok(Impact {
        ball_speed_mps: velocity.norm(),
        smash: velocity.norm() / delivery.head_speed_mps,
        launch_deg: velocity.z.atan2(velocity.xy().norm()).to_degrees(),
        start_right_deg: without_sign_of_zero(-azimuth(&velocity).to_degrees()),
        spin_rpm: parted.ball_spin.norm() * RPM,
        back_spin_rpm: spin.back * RPM,
        side_spin_right_rpm: spin.side_right * RPM,
        rifle_spin_rpm: spin.rifle * RPM,
        axis_tilt_right_deg: spin.side_right.atan2(spin.back).to_degrees(),
        slides: impulse.slides,
        restitution,
        approach_mps,
        normal_impulse_ns,
        tangential_impulse_ns: (impulse.on_ball - normal_impulse_ns * touching.normal).norm(),
        head_speed_after_mps: parted.head_velocity.norm(),
        energy_lost_j,
        momentum_error_ns: left_over.norm(),
        ball_velocity_mps: velocity.into(),
        ball_spin_rad_s: parted.ball_spin.into(),
        head_velocity_after_mps: parted.head_velocity.into(),
        head_spin_after_rad_s: parted.head_spin.into(),
    })
}

fn energy_lost(touching: &Touching, inertia: &Matrix3<f64>, parted: &Parted) -> f64 {
    let moving = |mass_kg: f64, velocity: &Vector3<f64>| 0.5 * mass_kg * velocity.norm_squared();
    moving(touching.head_mass_kg, &touching.head_velocity)
        - moving(touching.head_mass_kg, &parted.head_velocity)
        - 0.5 * parted.head_spin.dot(&(inertia * parted.head_spin))
        - moving(standard_ball::MASS_KG, &parted.ball_velocity)
        - 0.5 * standard_ball::INERTIA_KG_M2 * parted.ball_spin.norm_squared()
}

/// A ball's spin along axes that follow its heading but stay level, rad/s.
struct Spin {
    back: f64,
    side_right: f64,
    rifle: f64,
}

impl Spin {
    fn of(parted: &Parted) -> Self {
        let spin = parted.ball_spin;
        let azimuth = azimuth(&parted.ball_velocity);
        let heading = Vector3::new(azimuth.cos(), azimuth.sin(), 0.0);
        let left = Vector3::z().cross(&heading);
        Self {
            back: without_sign_of_zero(-spin.dot(&left)),
            side_right: without_sign_of_zero(-spin.z),
            rifle: without_sign_of_zero(spin.dot(&heading)),
        }
    }
}

/// Level direction of a velocity, left of the target line +, rad.
fn azimuth(velocity: &Vector3<f64>) -> f64 {
    velocity.y.atan2(velocity.x)
}

/// Makes a zero of a negative zero and leaves every other number alone.
fn without_sign_of_zero(number: f64) -> f64 {
    number + 0.0
}

impl Impact {
    /// Mirrors a right-hander's impact in the plane of the target line: the same delivery by a left-hander.
    #[must_use]
    pub fn of_left_hander(&self) -> Self {
        let [ball_x, ball_y, ball_z] = self.ball_velocity_mps;
        let [head_x, head_y, head_z] = self.head_velocity_after_mps;
        // a spin is turned round by a mirror along it, and kept by a mirror across it
        let turned = |[x, y, z]: [f64; 3]| [-x, y, -z];
        Self {
            start_right_deg: without_sign_of_zero(-self.start_right_deg),
            side_spin_right_rpm: without_sign_of_zero(-self.side_spin_right_rpm),
            rifle_spin_rpm: without_sign_of_zero(-self.rifle_spin_rpm),
            axis_tilt_right_deg: without_sign_of_zero(-self.axis_tilt_right_deg),
            ball_velocity_mps: [ball_x, -ball_y, ball_z],
            head_velocity_after_mps: [head_x, -head_y, head_z],
            ball_spin_rad_s: turned(self.ball_spin_rad_s),
            head_spin_after_rad_s: turned(self.head_spin_after_rad_s),
            ..*self
        }
    }
}
