//! `calc impact`: what a head, delivered so, does to a ball at rest.
//!
//! Everything is worked out for a right-hander (x to the target, y left, z up, so the toe points to −y) and mirrored for a
//! left-hander.

use super::{Calculation, read};
use crate::failure::Failure;
use ball::impact::{
    Delivery, Face, Head, HeadSources, HeadWanted, Impact, IronBuild, LARGEST_FACE, RepresentativeHead,
    Restitution, StandIn, StrikePlace, head_of_club, start_with_lie_error, strike,
};
use club::ClubKind;
use quantity::Speed;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Friction when none is given. From memory, right in its order only.
const USUAL_FRICTION: f64 = 0.40;
/// Millimetres in a metre. Definition.
const M_MM: f64 = 1000.0;
/// Grams in a kilogram. Definition.
const KG_G: f64 = 1000.0;

/// A head and how it comes to the ball. Signs are the golfer's own, for either hand: open is open, toe is toe. Axes of the
/// head, and of the world for a right-hander: x to the target, y left (so the toe points to -y), z up.
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
    /// Toward the trail side of the target line +, a right-hander's right; 0 when not given
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
    /// Tangential restitution. When not given: for a head asked for by its club what was calibrated (0 for woods, 0.25
    /// for hybrids, irons and wedges), else 0
    e_t: Option<f64>,
    /// Friction between face and ball; 0.40 when not given
    mu: Option<f64>,
    /// Mass of the shaft that goes with the head. When not given: for a head asked for by its club 0.003, else 0
    #[serde(alias = "extra_mass")]
    extra_mass_kg: Option<f64>,
    /// Right-handed when not given. A left-hander's strike is worked out as a right-hander's; then start, side spin, rifle
    /// spin and tilt change their signs
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

/// A head by its name in the table, by the club it is on, or by its numbers.
#[derive(Deserialize, JsonSchema)]
#[serde(
    untagged,
    expecting = "expected the name of a head, or an object with club, or one with mass_kg, cg_m, I_kgm2 and e0, and no unknown key"
)]
enum HeadInput {
    /// One of `driver_a`, `driver_pub`, `fairway`, `hybrid`, `iron5`, `iron7`, `iron_blade5`, `wedge`
    Named(String),
    OfClub(ClubInput),
    Numbers(HeadNumbers),
}

/// The club whose head is meant; one that stands in for it is made from the table.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ClubInput {
    /// As a golfer names it: `driver`, `3 wood`, `4 hybrid`, `6 iron`, `SW`
    club: String,
    /// Loft of the head; usual when not given
    loft_deg: Option<f64>,
    /// Mass of the head alone; usual when not given
    head_g: Option<f64>,
    /// Of irons; `cavity` when not given
    #[serde(default)]
    build: Build,
}

/// How an iron's mass is spread.
#[derive(Deserialize, JsonSchema, Default, Clone, Copy)]
#[serde(rename_all = "kebab-case")]
enum Build {
    #[default]
    Cavity,
    Blade,
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
    /// Which heads of the table this one was made from; not given for a head by its numbers
    #[serde(skip_serializing_if = "Vec::is_empty")]
    head_like: Vec<&'static str>,
    /// Mass of the head, without the shaft
    head_g: f64,
    /// What the numbers of a head of the table rest on; of a head by its numbers only the asker knows
    #[serde(skip_serializing_if = "Option::is_none")]
    head_rests_on: Option<RestsOn>,
}

/// What each number of the head rests on, in words.
#[derive(Serialize, JsonSchema)]
struct RestsOn {
    mass: String,
    centre_of_mass: String,
    inertia_about_vertical: String,
    other_moments: String,
    restitution: String,
    tangential_restitution: String,
    friction: String,
    shaft_share: String,
    face_size: String,
    bulge: String,
    roll: String,
}

impl From<HeadSources> for RestsOn {
    fn from(sources: HeadSources) -> Self {
        Self {
            mass: sources.mass.to_string(),
            centre_of_mass: sources.centre_of_mass.to_string(),
            inertia_about_vertical: sources.inertia_about_vertical.to_string(),
            other_moments: sources.other_moments.to_string(),
            restitution: sources.restitution.to_string(),
            tangential_restitution: sources.tangential_restitution.to_string(),
            friction: sources.friction.to_string(),
            shaft_share: sources.shaft_share.to_string(),
            face_size: sources.face_size.to_string(),
            bulge: sources.bulge.to_string(),
            roll: sources.roll.to_string(),
        }
    }
}

/// What a number rests on that stands in the question.
const AS_ASKED: &str = "as asked";
/// What a number rests on that nobody gave and that is taken as none.
const LEFT_OUT: &str = "left out, 0";

/// A head as it was asked for, with what is said of it.
struct Asked {
    head: Head,
    like: Vec<&'static str>,
    rests_on: Option<RestsOn>,
}

impl Input {
    /// The head as it was asked for and how it comes to the ball.
    fn struck(&self) -> Result<(Asked, Delivery), Failure> {
        let mut asked = asked(&self.head)?;
        if let Some(rests_on) = &mut asked.rests_on {
            for (given, said) in [
                (self.e_t, &mut rests_on.tangential_restitution),
                (self.mu, &mut rests_on.friction),
                (self.extra_mass_kg, &mut rests_on.shaft_share),
            ] {
                if given.is_some() {
                    AS_ASKED.clone_into(said);
                }
            }
        }
        let head = Head {
            shaft_share_kg: self.extra_mass_kg.unwrap_or(asked.head.shaft_share_kg),
            tangential_restitution: self.e_t.unwrap_or(asked.head.tangential_restitution),
            friction: self.mu.unwrap_or(asked.head.friction),
            ..asked.head
        };
        let delivery = Delivery {
            head_speed_mps: self.speed_mps,
            dynamic_loft_deg: self.dyn_loft_deg,
            attack_deg: self.attack_deg,
            path_deg: self.path_deg,
            face_open_deg: self.face_deg,
            lie_error_deg: self.roll_deg,
            place: StrikePlace { toe_mm: self.toe_mm, high_mm: self.high_mm },
        };
        Ok((Asked { head, ..asked }, delivery))
    }

    /// The head and how it comes to the ball, for a right-hander.
    pub(super) fn head_and_delivery(&self) -> Result<(Head, Delivery), Failure> {
        let (asked, delivery) = self.struck()?;
        Ok((asked.head, delivery))
    }

    /// Whether what comes out has to be mirrored.
    pub(super) fn is_left_handed(&self) -> bool {
        self.plays == Plays::LeftHanded
    }
}

pub(super) struct Calc;

impl Calculation for Calc {
    type Input = Input;
    type Output = Output;

    fn answer(input: Input) -> Result<Output, Failure> {
        let (asked, delivery) = input.struck()?;
        let ball = strike(&asked.head, &delivery)?;
        let seen = match input.plays {
            Plays::RightHanded => ball,
            Plays::LeftHanded => ball.of_left_hander(),
        };
        output(asked, &delivery, &seen)
    }
}

fn asked(input: &HeadInput) -> Result<Asked, Failure> {
    match input {
        HeadInput::Named(name) => {
            let named =
                RepresentativeHead::named(name).map_err(|error| Failure::from(error).field("head"))?;
            let rests_on = RestsOn {
                tangential_restitution: LEFT_OUT.to_owned(),
                shaft_share: LEFT_OUT.to_owned(),
                ..named.sources.into()
            };
            Ok(Asked { head: bare(named.head), like: vec![named.name], rests_on: Some(rests_on) })
        }
        HeadInput::OfClub(club) => {
            let StandIn { head, sources, like, and_like } = of_club(club)?;
            let like = std::iter::once(like).chain(and_like).collect();
            Ok(Asked { head, like, rests_on: Some(sources.into()) })
        }
        HeadInput::Numbers(numbers) => {
            Ok(Asked { head: by_numbers(numbers), like: Vec::new(), rests_on: None })
        }
    }
}

/// A head of the table asked for by its name: only the body, as one by its numbers is.
fn bare(head: Head) -> Head {
    Head { shaft_share_kg: 0.0, tangential_restitution: 0.0, friction: USUAL_FRICTION, ..head }
}

fn of_club(input: &ClubInput) -> Result<StandIn, Failure> {
    let wanted = HeadWanted {
        kind: ClubKind::from_name(&input.club).map_err(|error| Failure::from(error).field("club"))?,
        build: match input.build {
            Build::Cavity => IronBuild::Cavity,
            Build::Blade => IronBuild::Blade,
        },
        static_loft: input
            .loft_deg
            .map(|loft| read::degrees_within("loft_deg", loft, 0.0..=75.0))
            .transpose()?,
        head_mass: input.head_g.map(|mass| read::grams_within("head_g", mass, 80.0..=600.0)).transpose()?,
    };
    head_of_club(&wanted).map_err(|error| Failure::from(error).field("head"))
}

fn by_numbers(numbers: &HeadNumbers) -> Head {
    let or = |value_mm: Option<f64>, usual_m: f64| value_mm.map_or(usual_m, |value| value / M_MM);
    Head {
        mass_kg: numbers.mass_kg,
        shaft_share_kg: 0.0,
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
        tangential_restitution: 0.0,
        friction: USUAL_FRICTION,
    }
}

fn output(asked: Asked, delivery: &Delivery, ball: &Impact) -> Result<Output, Failure> {
    let Asked { head, like, rests_on } = asked;
    let lie = start_with_lie_error(&head, delivery)?;
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
        head_like: like,
        head_g: head.mass_kg * KG_G,
        head_rests_on: rests_on,
    })
}
