//! What may be added to hold a number: tape or a weight at the head, a weight in an open butt.

use super::aim::ROUNDING;
use super::base::Base;
use super::candidate::{Goal, cents_of, number_off};
use super::shelf_part::{consumable, of_kind};
use super::{BuildRules, ClubToBuild, MOST_AT_THE_HEAD, ShelfPart};
use crate::PartKind;
use crate::way::WayKind;
use club::alter::OnBench;
use quantity::Mass;

/// Something added, with what it uses and the minutes it takes.
pub(super) struct Addition {
    added: Added,
    pub(super) uses: Vec<(usize, u32)>,
    pub(super) minutes: u32,
}

impl Addition {
    /// The club with it.
    pub(super) fn on(&self, bench: &OnBench, rules: &BuildRules<'_>) -> OnBench {
        match self.added {
            Added::Nothing => *bench,
            Added::Head(mass) => bench.with_head_mass(mass),
            Added::Butt(mass) => bench.with_butt_weight(mass, rules.house.butt_weight_at),
        }
    }

    pub(super) fn at_the_head(&self) -> Mass {
        match self.added {
            Added::Head(mass) => mass,
            Added::Nothing | Added::Butt(_) => Mass::ZERO,
        }
    }
}

/// What is added to hold the number.
#[derive(Clone, Copy)]
enum Added {
    Nothing,
    Head(Mass),
    Butt(Mass),
}

/// Additions in the order of what they do to the number that is matched, in its tolerances: scale and inertia are sums, so
/// that this is the same whatever the club's grip and plug.
pub(super) struct Additions(pub(super) Vec<Listed>);

/// An addition, what it does to the number and what it costs.
pub(super) struct Listed {
    pub(super) effect: f64,
    pub(super) cents: f64,
    pub(super) addition: Addition,
}

/// How near a number must come by the sum for the candidate to be worked out. Derived: far over rounding.
const MARGIN: f64 = 1e-6;

impl Additions {
    pub(super) fn of(
        additions: Vec<Addition>,
        club: &ClubToBuild<'_>,
        base: &Base,
        shelf: &[ShelfPart],
        rules: &BuildRules<'_>,
    ) -> Self {
        let before = number_off(club, &base.bench);
        let listed = |addition: Addition| Listed {
            effect: number_off(club, &addition.on(&base.bench, rules)) - before,
            cents: cents_of(&addition.uses, addition.minutes, shelf, rules),
            addition,
        };
        let mut list: Vec<Listed> = additions.into_iter().map(listed).collect();
        list.sort_by(|one, other| one.effect.total_cmp(&other.effect));
        Self(list)
    }

    /// The places of those that bring a number that is so far off within its tolerance; all where the nearest are wanted.
    pub(super) fn that_bring(&self, off: f64, goal: Goal) -> std::ops::Range<usize> {
        let Self(list) = self;
        if goal == Goal::Nearest {
            return 0..list.len();
        }
        let first = list.partition_point(|one| off + one.effect < -1.0 - MARGIN);
        first..list.partition_point(|one| off + one.effect <= 1.0 + MARGIN)
    }
}

/// What decides which additions there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Lies {
    is_open: bool,
    head_is_off: bool,
    is_extended: bool,
}

impl Lies {
    pub(super) fn of(base: &Base) -> Self {
        Self {
            is_open: base.is_open,
            head_is_off: base.way.kind() == WayKind::OtherShaft,
            is_extended: base.way.kind() == WayKind::Extend,
        }
    }
}

/// What may be added to a club: nothing, tape or a weight at the head, a weight in an open butt.
pub(super) fn additions(lies: Lies, shelf: &[ShelfPart], rules: &BuildRules<'_>) -> Vec<Addition> {
    let addition = |added, uses, minutes| Addition { added, uses, minutes };
    let mut added = vec![addition(Added::Nothing, Vec::new(), 0)];
    let half_inches = (rules.house.most_tape.as_inches() * 2.0 + ROUNDING).floor();
    for (place, tape) in of_kind(shelf, PartKind::HeadTape) {
        let mut inches = 0.5;
        while inches <= half_inches / 2.0 {
            let mass = tape.mass * inches;
            if mass > MOST_AT_THE_HEAD {
                break;
            }
            added.push(addition(Added::Head(mass), vec![(place, whole(inches))], TAPE_MINUTES));
            inches += 0.5;
        }
    }
    let glue = consumable(shelf, PartKind::Glue);
    if let (Some(glue), Some(ferrule)) = (glue, consumable(shelf, PartKind::Ferrule)) {
        // with the head off for a shaft, glue and ferrule are there already
        let with = if lies.head_is_off {
            Vec::new()
        } else {
            glue.into_iter().chain(ferrule).map(|part| (part, 1)).collect()
        };
        let minutes = if lies.head_is_off { WEIGHT_MINUTES } else { HEAD_OFF_MINUTES };
        let weights = of_kind(shelf, PartKind::TipWeight).filter(|(_, part)| part.mass <= MOST_AT_THE_HEAD);
        added.extend(weights.map(|(place, part)| {
            addition(
                Added::Head(part.mass),
                [(place, 1)].into_iter().chain(with.iter().copied()).collect(),
                minutes,
            )
        }));
    }
    if let Some(glue) = glue.filter(|_| lies.is_open) {
        // in an extension it is glued in with the plug
        let with = glue.filter(|_| !lies.is_extended).map(|glue| (glue, 1));
        let weights = of_kind(shelf, PartKind::ButtWeight);
        let weights = weights.filter(|(_, part)| part.mass <= rules.house.most_butt_weight);
        added.extend(weights.map(|(place, part)| {
            addition(Added::Butt(part.mass), [(place, 1)].into_iter().chain(with).collect(), WEIGHT_MINUTES)
        }));
    }
    added
}

/// Minutes of an addition. Trade practice: tape a few, a weight five, a head off and on again 25.
const TAPE_MINUTES: u32 = 3;
const WEIGHT_MINUTES: u32 = 5;
const HEAD_OFF_MINUTES: u32 = 25;

/// Whole inches off a roll.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some inches of tape")]
fn whole(inches: f64) -> u32 {
    inches.ceil() as u32
}
