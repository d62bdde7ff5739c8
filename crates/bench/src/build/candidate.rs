//! Every way one club can be built from the shelf, with what it uses, costs and misses.

use super::addition::{Addition, Additions, Lies, additions};
use super::aim::{Off, ROUNDING};
use super::base::{Base, bases};
use super::misses::misses;
use super::{BuildRules, BuiltClub, ClubToBuild, ShelfPart};
use crate::State;
use crate::frequency::frequency_after;
use crate::way::Way;
use club::Swingweight;
use club::alter::OnBench;
use quantity::{Frequency, Inertia, Length};

/// What being out of tolerance by one more tolerance counts, cents: before any price. Derived: far over any set's cost,
/// and small enough for the solver's numbers.
const A_TOLERANCE: f64 = 1e5;
/// What a miss within tolerance counts, cents: below any price. Derived: four aims of twenty clubs, each at its limit, stay
/// under a tenth of a cent.
const WITHIN: f64 = 1e-3;

/// Which candidates are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Goal {
    /// Those within every tolerance.
    Within,
    /// All that the limits allow, the nearest counted best.
    Nearest,
}

/// One way to build one club.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Candidate {
    pub(super) way: Way,
    /// Parts by place on the shelf, in order, each once.
    pub(super) uses: Vec<(usize, u32)>,
    pub(super) cents: i64,
    pub(super) minutes: u32,
    pub(super) off: Off,
    /// What the programme makes least.
    pub(super) score: f64,
    bench: OnBench,
    frequency: Option<Frequency>,
}

impl Candidate {
    /// The club it makes.
    pub(super) fn built(&self, club: &ClubToBuild<'_>, shelf: &[ShelfPart]) -> BuiltClub {
        let state = State::of(&self.bench);
        BuiltClub {
            name: club.club.name.clone(),
            way: self.way,
            parts: self.uses.iter().copied().filter(|(part, _)| shelf.get(*part).is_some()).collect(),
            state,
            frequency: self.frequency,
            cents: self.cents,
            minutes: self.minutes,
            misses: misses(&club.aim, &state, self.frequency, self.off),
        }
    }
}

/// A club's candidates.
#[derive(Debug, Clone, Default)]
pub(super) struct Candidates {
    pub(super) list: Vec<Candidate>,
    /// The least score of those that were not worked out for their number.
    pub(super) left_out_from: Option<f64>,
}

/// Works out a club's candidates, the cheapest first.
pub(super) fn candidates(
    club: &ClubToBuild<'_>,
    shelf: &[ShelfPart],
    rules: &BuildRules<'_>,
    goal: Goal,
) -> Candidates {
    // what may be added hangs on how the club lies on the bench and how long it is, not on its grip: listed once for each
    let bases = bases(club, shelf, rules);
    let mut lists: Vec<(Lies, Length, Additions)> = Vec::new();
    let mut sketches: Vec<(f64, &Base, usize, usize)> = Vec::new();
    for base in &bases {
        let (lies, length) = (Lies::of(base), base.bench.length);
        let known = lists.iter().position(|(of, at, _)| *of == lies && *at == length);
        let known = known.unwrap_or_else(|| {
            lists.push((
                lies,
                length,
                Additions::of(additions(lies, shelf, rules), club, base, shelf, rules),
            ));
            lists.len() - 1
        });
        let Some((_, _, list)) = lists.get(known) else { continue };
        let off = number_off(club, &base.bench);
        let length_off = (base.bench.length - club.aim.length.0) / club.aim.length.1;
        let at_least = cents_of(&base.uses, base.minutes, shelf, rules) + A_TOLERANCE * beyond(length_off);
        let near = list.that_bring(off, goal);
        sketches.extend(near.clone().filter_map(|place| {
            let one = list.0.get(place)?;
            Some((at_least + one.cents + A_TOLERANCE * beyond(off + one.effect), base, known, place))
        }));
    }
    sketches.sort_unstable_by(|(one, ..), (other, ..)| one.total_cmp(other));
    let mut found = Candidates::default();
    for (at_least, base, list, place) in sketches {
        if found.list.len() == MOST_WORKED_OUT {
            found.left_out_from = Some(at_least);
            break;
        }
        let one = lists.get(list).and_then(|(_, _, list)| list.0.get(place));
        found.list.extend(one.and_then(|one| candidate(club, base, &one.addition, shelf, rules, goal)));
    }
    found
}

/// Most candidates of a club that are worked out. House choice: the dearest beyond are left out, and it is said where it
/// matters.
const MOST_WORKED_OUT: usize = 3000;

/// By how much more than its tolerance a number is off, in tolerances.
fn beyond(off: f64) -> f64 {
    (off.abs() - 1.0 - ROUNDING).max(0.0)
}

/// What parts and minutes cost, cents.
#[expect(clippy::cast_precision_loss, reason = "cents of one club, far below 2^53")]
pub(super) fn cents_of(
    uses: &[(usize, u32)],
    minutes: u32,
    shelf: &[ShelfPart],
    rules: &BuildRules<'_>,
) -> f64 {
    let parts =
        uses.iter().filter_map(|(part, count)| Some(shelf.get(*part)?.cost_cents * i64::from(*count)));
    (parts.sum::<i64>() + i64::from(minutes) * rules.cents_a_minute) as f64
}

pub(super) fn number_off(club: &ClubToBuild<'_>, bench: &OnBench) -> f64 {
    let whole = bench.whole();
    club.aim.number_off(Swingweight::of(&whole), whole.second)
}

fn candidate(
    club: &ClubToBuild<'_>,
    base: &Base,
    addition: &Addition,
    shelf: &[ShelfPart],
    rules: &BuildRules<'_>,
    goal: Goal,
) -> Option<Candidate> {
    let bench = addition.on(&base.bench, rules);
    let whole = bench.whole();
    // asked for only where it is an aim: a beam takes longer than the rest
    let frequency = club.aim.frequency.and(base.longer).and_then(|longer| {
        frequency_after(club.club, longer, addition.at_the_head()).map(|(frequency, _)| frequency)
    });
    let (scale, inertia): (Swingweight, Inertia) = (Swingweight::of(&whole), whole.second);
    let off = club.aim.off(bench.length, scale, inertia, whole.mass, frequency);
    let beyond: f64 = off.iter().copied().map(beyond).sum();
    if !beyond.is_finite() || (goal == Goal::Within && beyond > 0.0) {
        return None;
    }
    let mut uses: Vec<(usize, u32)> = Vec::with_capacity(base.uses.len() + addition.uses.len());
    for (part, count) in base.uses.iter().chain(&addition.uses).copied() {
        match uses.iter_mut().find(|(known, _)| *known == part) {
            Some((_, known)) => *known += count,
            None => uses.push((part, count)),
        }
    }
    uses.sort_unstable();
    // what one club alone cannot have is no candidate
    if uses.iter().any(|(part, count)| shelf.get(*part).is_none_or(|part| part.at_hand < *count)) {
        return None;
    }
    let minutes = base.minutes + addition.minutes;
    let parts: i64 =
        uses.iter().filter_map(|(part, count)| Some(shelf.get(*part)?.cost_cents * i64::from(*count))).sum();
    let cents = parts + i64::from(minutes) * rules.cents_a_minute;
    let within: f64 = off.iter().map(|off| off.powi(2).min(1.0)).sum();
    #[expect(clippy::cast_precision_loss, reason = "cents of one club, far below 2^53")]
    let score = cents as f64 + WITHIN * within + A_TOLERANCE * beyond.min(100.0);
    Some(Candidate { way: base.way, uses, cents, minutes, off, score, bench, frequency })
}
