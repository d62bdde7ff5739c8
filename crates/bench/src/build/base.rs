//! A club after its way and with its grip, before anything is added to hold a number.

use super::shelf_part::{consumable, of_kind};
use super::{BuildRules, ClubToBuild, ShelfPart};
use crate::PartKind;
use crate::outcome::{fitted_shaft, plug_centre};
use crate::standing::{Standing, standing};
use crate::way::{Way, WayKind};
use club::alter::{FittedShaft, OnBench, PlugPiece};
use club::{Club, bench_model};
use quantity::{Length, Mass};

/// A change shorter than this is none. Derived: half of the finest step a bench tape reads.
const NO_CHANGE: Length = Length::inches(1.0 / 64.0);

/// A club after its way and with its grip, nothing added yet.
pub(super) struct Base {
    pub(super) way: Way,
    pub(super) bench: OnBench,
    pub(super) uses: Vec<(usize, u32)>,
    pub(super) minutes: u32,
    /// How much longer the butt is, where the shaft stays.
    pub(super) longer: Option<Length>,
    /// Whether the grip is off, so that a butt weight can go in.
    pub(super) is_open: bool,
}

/// Why ways are refused, for a club whose aims cannot be met.
pub(super) fn refusals(club: &ClubToBuild<'_>, rules: &BuildRules<'_>) -> Vec<String> {
    let longer = club.aim.length.0 - club.club.length();
    let way = if longer > NO_CHANGE {
        Way::Extend(longer, PlugPiece { mass: Mass::ZERO, centre: Length::ZERO, length: longer })
    } else if -longer > NO_CHANGE {
        Way::Cut(-longer)
    } else {
        return Vec::new();
    };
    match standing(club.club, way, rules.house, rules.is_growing) {
        Standing::Refused(reason) => vec![format!("{}: {reason}", way.kind().words())],
        _ => Vec::new(),
    }
}

pub(super) fn bases(club: &ClubToBuild<'_>, shelf: &[ShelfPart], rules: &BuildRules<'_>) -> Vec<Base> {
    let longer = club.aim.length.0 - club.club.length();
    let bench = club.club.on_bench;
    let mut bases = vec![Base {
        way: Way::Leave,
        bench,
        uses: Vec::new(),
        minutes: 0,
        longer: Some(Length::ZERO),
        is_open: false,
    }];
    let is_refused =
        |way: Way| matches!(standing(club.club, way, rules.house, rules.is_growing), Standing::Refused(_));
    let mut bare = vec![(Way::Regrip(club.club.grip.mass), bench, Vec::new(), Some(Length::ZERO))];
    if -longer > NO_CHANGE
        && let Ok(cut) = bench.cut(-longer, club.club.shaft.butt_mass_per_inch, rules.house.cap)
    {
        bare.push((Way::Cut(-longer), cut, Vec::new(), Some(longer)));
    }
    if longer > NO_CHANGE {
        bare.extend(extensions(club.club, longer, shelf, rules));
    }
    bare.extend(shafts(club.club, longer, shelf));
    let Some(tape) = consumable(shelf, PartKind::GripTape) else { return bases };
    let fitting = || of_kind(shelf, PartKind::Grip).filter(|(_, grip)| grip.fits(club.club.grip.core));
    for (way, bench, uses, longer) in bare.into_iter().filter(|(way, ..)| !is_refused(*way)) {
        for (place, grip) in fitting() {
            let way = if way.kind() == WayKind::Regrip { Way::Regrip(grip.mass) } else { way };
            let more = [(place, 1)].into_iter().chain(tape.map(|tape| (tape, 1)));
            bases.push(Base {
                way,
                bench: bench.regripped(bench_model::grip(grip.mass)),
                uses: uses.iter().copied().chain(more).collect(),
                minutes: way.minutes(),
                longer,
                is_open: true,
            });
        }
    }
    bases
}

type Bare = (Way, OnBench, Vec<(usize, u32)>, Option<Length>);

fn extensions(club: &Club, longer: Length, shelf: &[ShelfPart], rules: &BuildRules<'_>) -> Vec<Bare> {
    let Some(glue) = consumable(shelf, PartKind::Glue) else { return Vec::new() };
    let length = longer + club.plug.seated;
    let plugs = of_kind(shelf, PartKind::Plug).filter(|(_, plug)| plug.fits(club.shaft.butt_diameter));
    plugs
        .filter_map(|(place, plug)| {
            let piece =
                PlugPiece { mass: plug.cut_to(length)?, centre: plug_centre(length, rules.house), length };
            let uses = [(place, 1)].into_iter().chain(glue.map(|glue| (glue, 1))).collect();
            Some((Way::Extend(longer, piece), club.on_bench.extended(longer, piece), uses, Some(longer)))
        })
        .collect()
}

fn shafts(club: &Club, longer: Length, shelf: &[ShelfPart]) -> Vec<Bare> {
    let (Some(glue), Some(ferrule)) =
        (consumable(shelf, PartKind::Glue), consumable(shelf, PartKind::Ferrule))
    else {
        return Vec::new();
    };
    let cut = bench_model::shaft_length(club.length() + longer);
    let shafts = of_kind(shelf, PartKind::Shaft);
    shafts
        .filter_map(|(place, shaft)| {
            let mass = shaft.cut_to(cut)?;
            let balance = bench_model::CAP + cut * bench_model::SHAFT_BALANCE_FRACTION;
            let new = FittedShaft { mass, balance };
            let bench = club.on_bench.reshafted(longer, fitted_shaft(club), new).ok()?;
            let more = glue.into_iter().chain(ferrule).map(|part| (part, 1));
            let uses = [(place, 1)].into_iter().chain(more).collect();
            Some((Way::OtherShaft(longer), bench, uses, None))
        })
        .collect()
}
