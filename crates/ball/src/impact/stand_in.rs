//! Which head stands in for a club of which little more is known than what it is.
//!
//! Irons and wedges lie between the heads of the table by their loft: shape, centre of mass and moments per gram are
//! drawn in a straight line from one to the next, and held beyond the first and the last. Of drivers, fairway woods and
//! hybrids there is one head each. Then the head is made as heavy as it was weighed, or as such a head usually is
//! ([`club::typical`]).

use super::sources::{HeadSources, RestsOn};
use super::{
    BLADE_5_IRON, CAVITY_5_IRON, CAVITY_7_IRON, DRIVER, FAIRWAY_WOOD, Face, HYBRID, Head, ImpactError,
    RepresentativeHead, WEDGE,
};
use club::{ClubKind, Wedge, typical};
use quantity::{Angle, Mass};

/// Loft of a head, degrees. Definition of what the tool takes.
const STATIC_LOFT_DEG: (f64, f64) = (0.0, 75.0);

/// How an iron's mass is spread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum IronBuild {
    /// Out toward the edges.
    #[default]
    Cavity,
    /// Behind the middle.
    Blade,
}

/// What is known of the club whose head is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeadWanted {
    /// Which club it is.
    pub kind: ClubKind,
    /// How its mass is spread, if it is an iron.
    pub build: IronBuild,
    /// Loft of the head; the usual one of its kind where it was not read.
    pub static_loft: Option<Angle>,
    /// Mass of the head alone; the usual one of its kind where it was not weighed.
    pub head_mass: Option<Mass>,
}

/// A head that stands in for a golfer's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandIn {
    /// Its numbers.
    pub head: Head,
    /// What each of them rests on.
    pub sources: HeadSources,
    /// The head of the table it was made from.
    pub like: &'static str,
    /// The second one, where it lies between two.
    pub and_like: Option<&'static str>,
}

/// Makes the head that stands in for this club.
///
/// Kind: assumption. That a head goes by its loft, and in a straight line, has no source.
///
/// # Errors
/// [`ImpactError::NoHeadKnown`] for a putter, [`ImpactError::OutOfRange`] for a loft or a mass no head has.
///
/// # Example
/// ```
/// use ball::impact::{HeadWanted, IronBuild, head_of_club};
/// use club::ClubKind;
/// use quantity::Mass;
///
/// let wanted = HeadWanted {
///     kind: ClubKind::Iron(6),
///     build: IronBuild::Cavity,
///     static_loft: None,
///     head_mass: Some(Mass::grams(263.0)),
/// };
/// let six = head_of_club(&wanted)?;
/// assert_eq!((six.like, six.and_like), ("iron5", Some("iron7")));
/// assert!((six.head.mass_kg - 0.263).abs() < 1e-12);
/// # Ok::<(), ball::impact::ImpactError>(())
/// ```
pub fn head_of_club(wanted: &HeadWanted) -> Result<StandIn, ImpactError> {
    let usual = typical(wanted.kind);
    let static_loft_deg = wanted.static_loft.unwrap_or(usual.loft).as_degrees();
    ImpactError::unless_within("loft of the head", static_loft_deg, STATIC_LOFT_DEG, "deg")?;
    let (mass_kg, mass) =
        wanted.head_mass.map_or((usual.head_mass.as_kilograms(), RestsOn::TradePractice), |weighed| {
            (weighed.as_kilograms(), RestsOn::Reading)
        });
    let shaped = match wanted.kind {
        ClubKind::Driver => alone(&DRIVER, mass_kg),
        ClubKind::Wood(_) => alone(&FAIRWAY_WOOD, mass_kg),
        ClubKind::Hybrid(_) => alone(&HYBRID, mass_kg),
        ClubKind::Iron(_) | ClubKind::Wedge(_) => by_loft(wanted.build, static_loft_deg, mass_kg),
        ClubKind::Putter => Err(ImpactError::NoHeadKnown { kind: wanted.kind.to_string() }),
    }?;
    Ok(StandIn { sources: HeadSources { mass, ..shaped.sources }, ..shaped })
}

/// Finds the heads on either side of an iron's or wedge's loft, each at the usual loft of the club it is, and makes the
/// one between. Beyond the five-iron and the pitching wedge their heads are held.
fn by_loft(build: IronBuild, static_loft_deg: f64, mass_kg: f64) -> Result<StandIn, ImpactError> {
    let usual_deg = |kind: ClubKind| typical(kind).loft.as_degrees();
    let (five_deg, seven_deg) = (usual_deg(ClubKind::Iron(5)), usual_deg(ClubKind::Iron(7)));
    let wedge_deg = usual_deg(ClubKind::Wedge(Wedge::Pitching));
    let ((low, low_deg), (high, high_deg)) = match build {
        IronBuild::Blade => ((&BLADE_5_IRON, five_deg), (&WEDGE, wedge_deg)),
        IronBuild::Cavity if static_loft_deg < seven_deg => {
            ((&CAVITY_5_IRON, five_deg), (&CAVITY_7_IRON, seven_deg))
        }
        IronBuild::Cavity => ((&CAVITY_7_IRON, seven_deg), (&WEDGE, wedge_deg)),
    };
    if static_loft_deg <= low_deg {
        return alone(low, mass_kg);
    }
    if static_loft_deg >= high_deg {
        return alone(high, mass_kg);
    }
    between(low, high, (static_loft_deg - low_deg) / (high_deg - low_deg), mass_kg)
}

fn alone(like: &RepresentativeHead, mass_kg: f64) -> Result<StandIn, ImpactError> {
    let head = like.head.scaled_to(mass_kg)?;
    Ok(StandIn { head, sources: like.sources, like: like.name, and_like: None })
}

/// Draws a straight line from one head to another of the same mass. Of two bodies that can be, one between them can be.
/// Restitutions, friction and the shaft's share are the first one's: those of irons and wedges are alike.
fn between(
    low: &RepresentativeHead,
    high: &RepresentativeHead,
    share: f64,
    mass_kg: f64,
) -> Result<StandIn, ImpactError> {
    let (first, second) = (low.head.scaled_to(mass_kg)?, high.head.scaled_to(mass_kg)?);
    let part = |from: f64, to: f64| from + share * (to - from);
    let centre = |axis: usize| part(first.centre_of_mass_m[axis], second.centre_of_mass_m[axis]);
    let moment =
        |row: usize, column: usize| part(first.inertia_kg_m2[row][column], second.inertia_kg_m2[row][column]);
    let head = Head {
        centre_of_mass_m: [0, 1, 2].map(centre),
        inertia_kg_m2: [0, 1, 2].map(|row| [0, 1, 2].map(|column| moment(row, column))),
        face: Face {
            half_width_m: part(first.face.half_width_m, second.face.half_width_m),
            half_height_m: part(first.face.half_height_m, second.face.half_height_m),
            ..first.face
        },
        ..first
    };
    let sources = low.sources.between(high.sources);
    Ok(StandIn { head, sources, like: low.name, and_like: Some(high.name) })
}
