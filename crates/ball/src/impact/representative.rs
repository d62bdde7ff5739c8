//! Heads that stand in for those a golfer has.
//!
//! One of them is published; its axes were inferred. All others are plausible stand-ins: masses are those of the trade,
//! inertia about the vertical is of the size makers print, the rest was chosen to look like such a head. Each says of
//! every number what it rests on. Differences between strikes on one head are what they are good for, not differences
//! between two makes.

use super::sources::{HeadSources, RestsOn};
use super::{Face, Head, ImpactError, Restitution};

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
/// Restitution of a fairway wood: the driver's. An assumption; its face is as thin.
const FAIRWAY_RESTITUTION: Restitution = DRIVER_RESTITUTION;
/// Restitution of a hybrid: half way between a driver's and an iron's at the driver's reference speed, where an iron has
/// 0.7186. An assumption.
const HYBRID_RESTITUTION: Restitution =
    Restitution { at_reference: 0.5 * (0.83 + 0.7186), fall_per_mps: 0.0029, reference_mps: 48.77 };
/// Friction between face and ball. From memory, right in its order only.
const FRICTION: f64 = 0.40;
/// Tangential restitution of irons and wedges. Calibrated on published averages of tour players' spin, themselves from
/// memory; without it irons spin a fifth to a third too little (`docs/derivations/impact.md`).
const IRON_TANGENTIAL_RESTITUTION: f64 = 0.25;
/// Tangential restitution of drivers: the ball just rolls off. Calibrated as the irons' is. That fairway woods go with
/// drivers, and hybrids with irons, is an assumption.
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
/// Faces of a fairway wood and a hybrid: sizes from memory, right in their order only; that they are curved as a driver's
/// is an assumption.
const FAIRWAY_FACE: Face = Face { half_width_m: 0.042, half_height_m: 0.018, ..DRIVER_FACE };
const HYBRID_FACE: Face = Face { half_width_m: 0.036, half_height_m: 0.018, ..DRIVER_FACE };

/// What the numbers of irons rest on: mass of the trade, inertia about the vertical of the size in makers' press texts.
const IRON_SOURCES: HeadSources = HeadSources {
    mass: RestsOn::TradePractice,
    centre_of_mass: RestsOn::Assumption,
    inertia_about_vertical: RestsOn::SecondHand,
    other_moments: RestsOn::Assumption,
    restitution: RestsOn::Memory,
    tangential_restitution: RestsOn::Calibration,
    friction: RestsOn::Memory,
    shaft_share: RestsOn::Calibration,
    face_size: RestsOn::Memory,
    bulge: RestsOn::TradePractice,
    roll: RestsOn::TradePractice,
};
/// What the numbers of a fairway wood and a hybrid rest on: little beyond the mass.
const FAIRWAY_SOURCES: HeadSources = HeadSources {
    inertia_about_vertical: RestsOn::Memory,
    restitution: RestsOn::Assumption,
    tangential_restitution: RestsOn::Assumption,
    bulge: RestsOn::Assumption,
    roll: RestsOn::Assumption,
    ..IRON_SOURCES
};

/// A head with a name.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RepresentativeHead {
    /// The name it is asked for by.
    pub name: &'static str,
    /// What it is.
    pub is: &'static str,
    /// Its numbers.
    pub head: Head,
    /// What each of them rests on.
    pub sources: HeadSources,
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
    sources: HeadSources {
        centre_of_mass: RestsOn::SecondHand,
        bulge: RestsOn::Assumption,
        roll: RestsOn::Assumption,
        ..IRON_SOURCES
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
    sources: HeadSources {
        mass: RestsOn::Published,
        centre_of_mass: RestsOn::Published,
        inertia_about_vertical: RestsOn::Published,
        other_moments: RestsOn::Published,
        restitution: RestsOn::Published,
        bulge: RestsOn::Published,
        roll: RestsOn::Assumption,
        ..IRON_SOURCES
    },
};

/// A fairway wood, as a three-wood.
///
/// Stand-in. Mass 210 g: trade practice (205 to 215 g). Inertia about the vertical 2600 g cm²: from memory, right in its
/// order. Centre of mass 22 mm back and the two other moments: assumptions, between a driver's and an iron's.
pub const FAIRWAY_WOOD: RepresentativeHead = RepresentativeHead {
    name: "fairway",
    is: "three-wood of 210 g",
    head: Head {
        restitution: FAIRWAY_RESTITUTION,
        tangential_restitution: DRIVER_TANGENTIAL_RESTITUTION,
        ..iron(0.210, [-0.022, 0.0, 0.0], [2.0e-4, 1.4e-4, 2.6e-4], FAIRWAY_FACE)
    },
    sources: FAIRWAY_SOURCES,
};

/// A hybrid, as a four-hybrid.
///
/// Stand-in as [`FAIRWAY_WOOD`] is: mass 235 g by trade practice (225 to 245 g), inertia about
/// the vertical 2600 g cm² from memory, centre of mass 14 mm back and the rest assumed.
pub const HYBRID: RepresentativeHead = RepresentativeHead {
    name: "hybrid",
    is: "four-hybrid of 235 g",
    head: Head {
        restitution: HYBRID_RESTITUTION,
        ..iron(0.235, [-0.014, 0.0, 0.0], [2.2e-4, 1.0e-4, 2.6e-4], HYBRID_FACE)
    },
    sources: FAIRWAY_SOURCES,
};

/// A cavity-backed five-iron.
///
/// Stand-in. Mass 256 g: trade practice. Inertia about the vertical 2450 g cm²: near what makers' press texts give for
/// cavity backs (2600 to 3000). Centre of mass 8 mm back and 2 mm low, and the two other moments: assumptions.
pub const CAVITY_5_IRON: RepresentativeHead = RepresentativeHead {
    name: "iron5",
    is: "cavity-backed five-iron of 256 g",
    head: iron(0.256, [-0.008, 0.0, -0.002], [2.6e-4, 6.5e-5, 2.45e-4], IRON_FACE),
    sources: IRON_SOURCES,
};

/// A cavity-backed seven-iron. Stand-in as [`CAVITY_5_IRON`] is: mass 270 g by trade practice, inertia about the vertical
/// 2500 g cm² of the size in makers' press texts, the rest assumed.
pub const CAVITY_7_IRON: RepresentativeHead = RepresentativeHead {
    name: "iron7",
    is: "cavity-backed seven-iron of 270 g",
    head: iron(0.270, [-0.007, 0.0, -0.002], [2.7e-4, 7.0e-5, 2.5e-4], IRON_FACE),
    sources: IRON_SOURCES,
};

/// A forged blade, five-iron. Stand-in as [`CAVITY_5_IRON`] is: blades have less inertia, how much is assumed.
pub const BLADE_5_IRON: RepresentativeHead = RepresentativeHead {
    name: "iron_blade5",
    is: "blade five-iron of 256 g",
    head: iron(0.256, [-0.006, 0.0, -0.001], [2.2e-4, 4.8e-5, 2.0e-4], IRON_FACE),
    sources: HeadSources { inertia_about_vertical: RestsOn::Assumption, ..IRON_SOURCES },
};

/// A wedge. Stand-in as [`CAVITY_5_IRON`] is: mass 290 g by trade practice, all else assumed.
pub const WEDGE: RepresentativeHead = RepresentativeHead {
    name: "wedge",
    is: "wedge of 290 g",
    head: iron(0.290, [-0.006, 0.0, -0.002], [3.0e-4, 9.0e-5, 2.7e-4], WEDGE_FACE),
    sources: HeadSources { inertia_about_vertical: RestsOn::Assumption, ..IRON_SOURCES },
};

/// Every head of the table. Putters are not in it: they roll the ball, and no numbers of such heads are known here.
pub const HEADS: [RepresentativeHead; 8] =
    [DRIVER, PUBLISHED_DRIVER, FAIRWAY_WOOD, HYBRID, CAVITY_5_IRON, CAVITY_7_IRON, BLADE_5_IRON, WEDGE];

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
