//! Heads that stand in for those a golfer has.
//!
//! One of them is published; its axes were inferred. All others are plausible stand-ins: masses are those of the trade,
//! inertia about the vertical is of the size makers print, the rest was chosen to look like such a head. Differences
//! between strikes on one head are what they are good for, not differences between two makes.

use super::{Face, Head, ImpactError, Restitution};
use club::{ClubKind, Wedge};

/// Mass of the shaft that goes with the head, kg.
///
/// Calibrated. An abstract says that adding less than 3 g to a head took away the shortfall in ball speed of such a model
/// (Proceedings 2020, 49(1), 47); 3 g is taken here.
pub const SHAFT_SHARE_KG: f64 = 0.003;

/// Restitution of irons and wedges: Penner 2001, American Journal of Physics 69, 563. From memory, not re-read.
const IRON_RESTITUTION: Restitution =
    Restitution { at_reference: 0.86, fall_per_mps: 0.0029, reference_mps: 0.0 };
/// Restitution of a driver: at the speed of the Rules' old test (48.77 m/s) the limit it had, near 0.83, from memory;
/// that it falls with speed as an iron's does is an assumption.
const DRIVER_RESTITUTION: Restitution =
    Restitution { at_reference: 0.83, fall_per_mps: 0.0029, reference_mps: 48.77 };
/// Friction between face and ball. From memory, right in its order only.
const FRICTION: f64 = 0.40;
/// Tangential restitution of irons and wedges. Calibrated on published averages of tour players' spin, themselves from
/// memory; without it irons spin a fifth to a third too little (`docs/derivations/impact.md`).
const IRON_TANGENTIAL_RESTITUTION: f64 = 0.25;
/// Tangential restitution of drivers: the ball just rolls off. Calibrated as the irons' is.
const DRIVER_TANGENTIAL_RESTITUTION: f64 = 0.0;
/// Bulge and roll of a driver, m. Published: 305 mm of bulge (Proceedings 2020, 49(1), 47, Table 1); that roll is alike
/// is an assumption.
const DRIVER_CURVE_M: Option<f64> = Some(0.305);

/// Face of a driver, half sizes. From memory, right in its order only, as are the faces of irons below.
const DRIVER_FACE: Face = Face {
    half_width_m: 0.055,
    half_height_m: 0.030,
    bulge_radius_m: DRIVER_CURVE_M,
    roll_radius_m: DRIVER_CURVE_M,
};
const IRON_FACE: Face =
    Face { half_width_m: 0.038, half_height_m: 0.026, bulge_radius_m: None, roll_radius_m: None };
const WEDGE_FACE: Face = Face { half_height_m: 0.032, ..IRON_FACE };

/// A head with a name.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RepresentativeHead {
    /// The name it is asked for by.
    pub name: &'static str,
    /// What it is.
    pub is: &'static str,
    /// Its numbers.
    pub head: Head,
}

/// A driver whose mass is in line with its face's centre.
///
/// Stand-in. Mass 200 g: trade practice (195 to 205 g). Inertia about the vertical 4800 g cm² and centre of mass 36 mm
/// back: within what a magazine's bench table, seen second-hand, gives for drivers (3900 to 5900 g cm², 32 to 47 mm). The
/// two other moments: assumptions.
pub const DRIVER: RepresentativeHead = RepresentativeHead {
    name: "driver_a",
    is: "driver of 200 g, centre of mass straight behind the face's centre",
    head: Head {
        mass_kg: 0.200,
        shaft_share_kg: SHAFT_SHARE_KG,
        centre_of_mass_m: [-0.036, 0.0, 0.0],
        inertia_kg_m2: diagonal(2.8e-4, 2.9e-4, 4.8e-4),
        face: DRIVER_FACE,
        restitution: DRIVER_RESTITUTION,
        tangential_restitution: DRIVER_TANGENTIAL_RESTITUTION,
        friction: FRICTION,
    },
};

/// A driver whose mass, centre of mass, inertia tensor and restitution were published.
///
/// Published: 204 g; centre of mass 42.3 mm behind the face's centre, 2.9 mm above it and 1 mm beside it; tensor
/// [2843, −733, 530.2; −733, 5679, 0.5; 530.2, 0.5, 4085] g cm²; restitution 0.83; bulge 305 mm (Proceedings 2020, 49(1),
/// 47, Table 1). Inferred here: that 5679 is about the vertical, the signs of the products, and that the 1 mm is toward
/// the toe.
pub const PUBLISHED_DRIVER: RepresentativeHead = RepresentativeHead {
    name: "driver_pub",
    is: "driver of 204 g with a published inertia tensor",
    head: Head {
        mass_kg: 0.204,
        shaft_share_kg: SHAFT_SHARE_KG,
        centre_of_mass_m: [-0.0423, -0.001, 0.0029],
        inertia_kg_m2: [
            [2.843e-4, -5.302e-5, -7.33e-5],
            [-5.302e-5, 4.085e-4, -5e-8],
            [-7.33e-5, -5e-8, 5.679e-4],
        ],
        face: DRIVER_FACE,
        restitution: Restitution { at_reference: 0.83, fall_per_mps: 0.0, reference_mps: 0.0 },
        tangential_restitution: DRIVER_TANGENTIAL_RESTITUTION,
        friction: FRICTION,
    },
};

/// A cavity-backed five-iron.
///
/// Stand-in. Mass 256 g: trade practice. Inertia about the vertical 2450 g cm²: near what makers' press texts give for
/// cavity backs (2600 to 3000). Centre of mass 8 mm back and 2 mm low, and the two other moments: assumptions.
pub const CAVITY_5_IRON: RepresentativeHead = RepresentativeHead {
    name: "iron5",
    is: "cavity-backed five-iron of 256 g",
    head: iron(0.256, [-0.008, 0.0, -0.002], [2.6e-4, 6.5e-5, 2.45e-4], IRON_FACE),
};

/// A cavity-backed seven-iron. Stand-in as [`CAVITY_5_IRON`] is: mass 270 g by trade practice, inertia about the vertical
/// 2500 g cm² of the size in makers' press texts, the rest assumed.
pub const CAVITY_7_IRON: RepresentativeHead = RepresentativeHead {
    name: "iron7",
    is: "cavity-backed seven-iron of 270 g",
    head: iron(0.270, [-0.007, 0.0, -0.002], [2.7e-4, 7.0e-5, 2.5e-4], IRON_FACE),
};

/// A forged blade, five-iron. Stand-in as [`CAVITY_5_IRON`] is: blades have less inertia, how much is assumed.
pub const BLADE_5_IRON: RepresentativeHead = RepresentativeHead {
    name: "iron_blade5",
    is: "blade five-iron of 256 g",
    head: iron(0.256, [-0.006, 0.0, -0.001], [2.2e-4, 4.8e-5, 2.0e-4], IRON_FACE),
};

/// A wedge. Stand-in as [`CAVITY_5_IRON`] is: mass 290 g by trade practice, all else assumed.
pub const WEDGE: RepresentativeHead = RepresentativeHead {
    name: "wedge",
    is: "wedge of 290 g",
    head: iron(0.290, [-0.006, 0.0, -0.002], [3.0e-4, 9.0e-5, 2.7e-4], WEDGE_FACE),
};

/// Every head of the table. Fairway woods, hybrids and putters are not in it: no numbers of such heads are known here.
pub const HEADS: [RepresentativeHead; 6] =
    [DRIVER, PUBLISHED_DRIVER, CAVITY_5_IRON, CAVITY_7_IRON, BLADE_5_IRON, WEDGE];

/// How an iron's mass is spread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Construction {
    /// Out toward the edges.
    #[default]
    Cavity,
    /// Behind the middle.
    Blade,
}

/// Loft from which on the seven-iron's head stands in, degrees: between usual five- and seven-irons. Trade practice.
const SEVEN_IRON_FROM_DEG: f64 = 30.5;
/// Loft from which on the wedge's head stands in, degrees: between usual nine-irons and pitching wedges. Trade practice.
const WEDGE_FROM_DEG: f64 = 44.0;

impl RepresentativeHead {
    /// Finds a head of the table by its name.
    ///
    /// # Errors
    /// [`ImpactError::UnknownHead`] with the names there are.
    pub fn named(name: &str) -> Result<Self, ImpactError> {
        HEADS.into_iter().find(|head| head.name == name).ok_or_else(|| ImpactError::UnknownHead {
            found: name.to_owned(),
            known: HEADS.map(|head| head.name).join(", "),
        })
    }

    /// Chooses the head that stands in for a club of this kind; scale it to the head's mass where that was weighed.
    ///
    /// An iron goes by its number, up to 6 as the five-iron and from 7 as the seven-iron; of blades only one head is
    /// known. Kind of the choice: assumption.
    ///
    /// # Errors
    /// [`ImpactError::NoHeadKnown`] for fairway woods, hybrids and putters.
    pub fn for_kind(kind: ClubKind, construction: Construction) -> Result<Self, ImpactError> {
        match (kind, construction) {
            (ClubKind::Driver, _) => Ok(DRIVER),
            (ClubKind::Iron(_), Construction::Blade) => Ok(BLADE_5_IRON),
            (ClubKind::Iron(..=6), Construction::Cavity) => Ok(CAVITY_5_IRON),
            (ClubKind::Iron(_), Construction::Cavity) => Ok(CAVITY_7_IRON),
            (ClubKind::Wedge(Wedge::Pitching | Wedge::Gap | Wedge::Sand | Wedge::Lob), _) => Ok(WEDGE),
            (ClubKind::Wood(_) | ClubKind::Hybrid(_) | ClubKind::Putter, _) => {
                Err(ImpactError::NoHeadKnown { kind: kind.to_string() })
            }
        }
    }

    /// Chooses the head that stands in for an iron or wedge of which only the static loft is known.
    #[must_use]
    pub fn for_iron_of_loft(static_loft_deg: f64, construction: Construction) -> Self {
        match construction {
            _ if static_loft_deg >= WEDGE_FROM_DEG => WEDGE,
            Construction::Blade => BLADE_5_IRON,
            Construction::Cavity if static_loft_deg >= SEVEN_IRON_FROM_DEG => CAVITY_7_IRON,
            Construction::Cavity => CAVITY_5_IRON,
        }
    }
}

const fn diagonal(x: f64, y: f64, z: f64) -> [[f64; 3]; 3] {
    [[x, 0.0, 0.0], [0.0, y, 0.0], [0.0, 0.0, z]]
}

const fn iron(mass_kg: f64, centre_of_mass_m: [f64; 3], [x, y, z]: [f64; 3], face: Face) -> Head {
    Head {
        mass_kg,
        shaft_share_kg: SHAFT_SHARE_KG,
        centre_of_mass_m,
        inertia_kg_m2: diagonal(x, y, z),
        face,
        restitution: IRON_RESTITUTION,
        tangential_restitution: IRON_TANGENTIAL_RESTITUTION,
        friction: FRICTION,
    }
}
