//! `calc impact`: what a head, delivered so, does to a ball at rest.

use super::Calculation;
use crate::failure::Failure;
use ball::impact::{
    Delivery, Face, Head, Impact, LARGEST_FACE, RepresentativeHead, Restitution, StrikePlace,
    start_with_lie_error, strike,
};
use quantity::Speed;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Friction when none is given. From memory, right in its order only.
const USUAL_FRICTION: f64 = 0.40;
/// Millimetres in a metre. Definition.
const M_MM: f64 = 1000.0;
/// Grams in a kilogram. Definition.
const KG_G: f64 = 1000.0;

/// A head and how it comes to the ball. Signs are relative to the golfer, as of a right-hander.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Input {
    head: HeadInput,
    /// Speed of the head
    #[serde(alias = "speed")]
    speed_mps: f64,
    /// Loft at the face's centre as delivered
    dyn_loft_deg: f64,
    /// Up +; 0 when not given
    #[serde(default)]
    attack_deg: f64,
    /// Toward the trail side of the target line +, which is right for a right-hander; 0 when not given
    #[serde(default)]
    path_deg: f64,
    /// Open +; 0 when not given
    #[serde(default)]
    face_deg: f64,
    /// Lie error as delivered, upright +; 0 when not given
    #[serde(default)]
    roll_deg: f64,
    /// Toward the toe from the face's centre +; 0 when not given
    #[serde(default)]
    toe_mm: f64,
    /// Up the face from its centre +; 0 when not given
    #[serde(default)]
    high_mm: f64,
    /// Tangential restitution; 0 when not given. Calibrated: 0 for drivers, 0.25 for irons and wedges
    #[serde(default)]
    e_t: f64,
    /// Friction between face and ball; 0.40 when not given
    mu: Option<f64>,
    /// Mass of the shaft that goes with the head; 0 when not given. Calibrated: 0.003
    #[serde(default, alias = "extra_mass")]
    extra_mass_kg: f64,
    /// Right-handed when not given
    #[serde(default)]
    plays: Plays,
}

/// Which side the golfer plays from.
#[derive(Deserialize, JsonSchema, Default, Clone, Copy, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
enum Plays {
    #[default]
    RightHanded,
    LeftHanded,
}

/// A head by its name in the table, or by its numbers.
#[derive(Deserialize, JsonSchema)]
#[serde(
    untagged,
    expecting = "expected the name of a head, or a head with mass_kg, cg_m, I_kgm2 and e0 and no unknown key"
)]
enum HeadInput {
    /// One of `driver_a`, `driver_pub`, `iron5`, `iron7`, `iron_blade5`, `wedge`
    Named(String),
    Numbers(HeadNumbers),
}

/// A head in axes of its own at no loft: x out of the face, y toward the heel, z up, zero at the face's centre.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct HeadNumbers {
    #[serde(alias = "mass")]
    mass_kg: f64,
    /// Centre of mass
    #[serde(alias = "cg")]
    cg_m: [f64; 3],
    /// Inertia tensor about the centre of mass
    #[serde(rename = "I_kgm2", alias = "I")]
    inertia_kgm2: [[f64; 3]; 3],
    /// Radius from heel to toe; flat when not given
    #[serde(alias = "bulge")]
    bulge_m: Option<f64>,
    /// Radius from sole to crown; flat when not given
    #[serde(alias = "roll")]
    roll_m: Option<f64>,
    /// Restitution at `v_ref_mps`
    e0: f64,
    /// How much the restitution falls for each m/s faster along the face's normal; 0 when not given
    #[serde(default, rename = "e_slope_s_per_m", alias = "e_slope")]
    e_slope_s_per_m: f64,
    /// 0 when not given
    #[serde(default, rename = "v_ref_mps", alias = "v_ref")]
    v_ref_mps: f64,
    /// From the centre of the face to toe or heel; 63.5, the most the Rules leave room for, when not given
    face_half_width_mm: Option<f64>,
    /// From the centre of the face to its upper or lower edge; 35.56, the most the Rules leave room for, when not given
    face_half_height_mm: Option<f64>,
}

/// Directions are as seen along the target line, right +, for either hand.
#[derive(Serialize, JsonSchema)]
pub(super) struct Output {
    ball_mps: f64,
    ball_mph: f64,
    /// Ball speed as a share of head speed
    smash: f64,
    launch_deg: f64,
    azim_right_deg: f64,
    spin_rpm: f64,
    back_rpm: f64,
    /// Curves right +
    side_rpm_right: f64,
    /// About the ball's level heading
    rifle_rpm: f64,
    /// Curves right +
    axis_tilt_deg: f64,
    /// Whether the ball still slides when it leaves the face
    slides: bool,
    /// Restitution at this speed
    e: f64,
    /// Speed of the face toward the ball along its normal
    vn_mps: f64,
    /// Impulse along the face's normal
    #[serde(rename = "Jn_Ns")]
    normal_impulse_ns: f64,
    /// Impulse across the face
    #[serde(rename = "Jt_Ns")]
    tangential_impulse_ns: f64,
    head_after_mps: f64,
    /// How the head turns after, about axes to the target, left and up
    head_spin_after_dps: [f64; 3],
    #[serde(rename = "energy_lost_J")]
    energy_lost_j: f64,
    /// Momentum before less momentum after: rounding
    #[serde(rename = "momentum_err_Ns")]
    momentum_error_ns: f64,
    /// What the head weighs to the ball there, on a flat face and without the shaft
    m_eff_g: f64,
    /// Where the face points at its centre, toward the golfer's lead side +
    face_toward_lead_deg: f64,
    /// How much of the start is the lie's, toward the golfer's lead side +
    start_turned_by_lie_deg: f64,
    /// How much of the side spin is the lie's, curving toward the golfer's lead side +
    side_rpm_turned_by_lie: f64,
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        let head = Head {
            shaft_share_kg: input.extra_mass_kg,
            tangential_restitution: input.e_t,
            friction: input.mu.unwrap_or(USUAL_FRICTION),
            ..head(&input.head)?
        };
        let delivery = Delivery {
            head_speed_mps: input.speed_mps,
            dynamic_loft_deg: input.dyn_loft_deg,
            attack_deg: input.attack_deg,
            path_deg: input.path_deg,
            face_open_deg: input.face_deg,
            lie_error_deg: input.roll_deg,
            place: StrikePlace { toe_mm: input.toe_mm, high_mm: input.high_mm },
        };
        let ball = strike(&head, &delivery)?;
        let seen = match input.plays {
            Plays::RightHanded => ball,
            Plays::LeftHanded => ball.of_left_hander(),
        };
        output(&head, &delivery, &seen)
    }
}

fn head(input: &HeadInput) -> Result<Head, Failure> {
    let numbers = match input {
        HeadInput::Named(name) => {
            return RepresentativeHead::named(name)
                .map(|found| found.head)
                .map_err(|error| Failure::from(error).field("head"));
        }
        HeadInput::Numbers(numbers) => numbers,
    };
    let or = |value_mm: Option<f64>, usual_m: f64| value_mm.map_or(usual_m, |value| value / M_MM);
    Ok(Head {
        mass_kg: numbers.mass_kg,
        centre_of_mass_m: numbers.cg_m,
        inertia_kg_m2: numbers.inertia_kgm2,
        face: Face {
            half_width_m: or(numbers.face_half_width_mm, LARGEST_FACE.half_width_m),
            half_height_m: or(numbers.face_half_height_mm, LARGEST_FACE.half_height_m),
            bulge_radius_m: numbers.bulge_m,
            roll_radius_m: numbers.roll_m,
        },
        restitution: Restitution {
            at_reference: numbers.e0,
            fall_per_mps: numbers.e_slope_s_per_m,
            reference_mps: numbers.v_ref_mps,
        },
        // how the surfaces act and what of the shaft counts stands beside the head
        shaft_share_kg: 0.0,
        tangential_restitution: 0.0,
        friction: USUAL_FRICTION,
    })
}

fn output(head: &Head, delivery: &Delivery, ball: &Impact) -> Result<Output, Failure> {
    let lie = start_with_lie_error(head, delivery)?;
    Ok(Output {
        ball_mps: ball.ball_speed_mps,
        ball_mph: Speed::metres_per_second(ball.ball_speed_mps).as_mph(),
        smash: ball.smash,
        launch_deg: ball.launch_deg,
        azim_right_deg: ball.start_right_deg,
        spin_rpm: ball.spin_rpm,
        back_rpm: ball.back_spin_rpm,
        side_rpm_right: ball.side_spin_right_rpm,
        rifle_rpm: ball.rifle_spin_rpm,
        axis_tilt_deg: ball.axis_tilt_right_deg,
        slides: ball.slides,
        e: ball.restitution,
        vn_mps: ball.approach_mps,
        normal_impulse_ns: ball.normal_impulse_ns,
        tangential_impulse_ns: ball.tangential_impulse_ns,
        head_after_mps: ball.head_speed_after_mps,
        head_spin_after_dps: ball.head_spin_after_rad_s.map(f64::to_degrees),
        energy_lost_j: ball.energy_lost_j,
        momentum_error_ns: ball.momentum_error_ns,
        m_eff_g: head.effective_mass_kg(delivery.place.toe_mm, delivery.place.high_mm)? * KG_G,
        face_toward_lead_deg: lie.face_toward_lead_deg,
        start_turned_by_lie_deg: lie.start_turned_deg,
        side_rpm_turned_by_lie: lie.side_spin_turned_rpm,
    })
}
