//! What a club usually is, where the bench has not read it. Everything taken from here is listed to the
//! reader as assumed.

use crate::{ClubKind, ShaftMaterial};
use quantity::{Angle, Length, Mass};

/// The table of usual clubs; its head says the kind of its numbers.
const TABLE: &str = include_str!("typical.csv");

/// Mass of a grip. Trade practice: 48 to 52 g for a usual one.
pub(crate) const GRIP_MASS: Mass = Mass::grams(50.0);
/// Inside size of a grip and outside size of the butt under it. Trade practice: a man's steel iron.
pub(crate) const BUTT_DIAMETER: Length = Length::inches(0.600);
/// Distance between groove middles. Common practice, no source: near 1/8 in.
pub(crate) const GROOVE_PITCH: Length = Length::inches(0.125);
/// How far an extension sits inside the butt. Trade practice: never under 2 1/2 in.
pub(crate) const PLUG_SEAT: Length = Length::inches(2.5);
/// Mass of an extension per inch. Trade practice, by material: carbon tube 3.1, aluminium tube 4.3, solid nylon
/// 4.6, steel tube 7 to 10 g. A middling one; weigh the plug.
pub(crate) const PLUG_MASS_PER_INCH: Mass = Mass::grams(4.5);

/// What a shaft is usually made of. Trade practice: irons, wedges and putters steel, the rest graphite.
pub(crate) fn shaft_material(kind: ClubKind) -> ShaftMaterial {
    if kind.is_iron_or_wedge() || kind == ClubKind::Putter {
        ShaftMaterial::Steel
    } else {
        ShaftMaterial::Graphite
    }
}

/// Mass of a cut iron shaft. Trade practice: steel 95 to 130 g, graphite 50 to 85 g.
pub(crate) fn shaft_mass(material: ShaftMaterial, kind: ClubKind) -> Mass {
    match (kind.is_iron_or_wedge(), material) {
        (true, ShaftMaterial::Steel) => Mass::grams(110.0),
        (true, ShaftMaterial::Graphite) => Mass::grams(70.0),
        (false, ShaftMaterial::Steel) => Mass::grams(115.0),
        (false, ShaftMaterial::Graphite) => Mass::grams(62.0),
    }
}

/// Mass of an inch of shaft at the grip end. Trade practice: steel 3 to 5 g, graphite 1.5 to 3 g; the
/// off-cut, once weighed, replaces it.
pub(crate) fn butt_mass_per_inch(material: ShaftMaterial) -> Mass {
    match material {
        ShaftMaterial::Steel => Mass::grams(3.5),
        ShaftMaterial::Graphite => Mass::grams(2.0),
    }
}

/// Usual loft, lie and head mass of one kind of club.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Typical {
    /// Loft of the head, unbent.
    pub loft: Angle,
    /// Lie of the head, unbent.
    pub lie: Angle,
    /// Mass of the head.
    pub head_mass: Mass,
}

/// Finds the usual club of this kind; a number not in the table takes the nearest of its family.
///
/// # Source
/// Trade practice, no source: makers differ by 1 degree of lie, 3 of loft and 3 g and more.
#[must_use]
pub fn typical(kind: ClubKind) -> Typical {
    rows()
        .min_by_key(|(row_kind, _)| distance(*row_kind, kind))
        .map(|(_, typical)| typical)
        .expect("the table is compiled in and holds every family")
}

fn rows() -> impl Iterator<Item = (ClubKind, Typical)> {
    TABLE
        .lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .map(|line| row(line).expect("the table is compiled in and read whole by a test"))
}

fn row(line: &str) -> Option<(ClubKind, Typical)> {
    let mut cells = line.split(',');
    let kind = ClubKind::from_name(cells.next()?).ok()?;
    let mut number = || cells.next()?.parse::<f64>().ok();
    let (loft, lie, head) = (number()?, number()?, number()?);
    Some((
        kind,
        Typical { loft: Angle::degrees(loft), lie: Angle::degrees(lie), head_mass: Mass::grams(head) },
    ))
}

/// How far two kinds are apart: another family is farther than any number.
fn distance(row: ClubKind, kind: ClubKind) -> u8 {
    const OTHER_FAMILY: u8 = u8::MAX;
    match (row, kind) {
        (ClubKind::Wood(a), ClubKind::Wood(b))
        | (ClubKind::Hybrid(a), ClubKind::Hybrid(b))
        | (ClubKind::Iron(a), ClubKind::Iron(b)) => a.abs_diff(b),
        _ if row == kind => 0,
        _ => OTHER_FAMILY,
    }
}

#[cfg(test)]
mod tests {
    use super::{distance, rows, typical};
    use crate::ClubKind;
    use quantity::Angle;

    #[test]
    fn the_table_is_read_whole_and_every_family_is_in_it() {
        assert_eq!(rows().count(), 23);
        for kind in [ClubKind::Driver, ClubKind::Wood(9), ClubKind::Hybrid(1), ClubKind::Putter] {
            assert!(rows().any(|(row, _)| distance(row, kind) < u8::MAX), "{kind}");
        }
    }

    #[test]
    fn a_number_not_in_the_table_takes_its_nearest_neighbour() {
        assert_eq!(typical(ClubKind::Wood(9)).loft, Angle::degrees(21.0));
        assert_eq!(typical(ClubKind::Iron(7)).loft, Angle::degrees(34.0));
    }
}
