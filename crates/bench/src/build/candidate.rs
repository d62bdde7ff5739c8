//! Every way one club can be built from the shelf, with what it uses, costs and misses.

use super::aim::{Aim, AimedNumber, Off};
use super::{BuildRules, BuiltClub, ClubToBuild, MOST_AT_THE_HEAD, ShelfPart};
use crate::outcome::{fitted_shaft, plug_centre};
use crate::parts::weight;
use crate::standing::{Standing, standing};
use crate::way::{Way, WayKind};
use crate::{PartKind, State};
use club::alter::{FittedShaft, OnBench, PlugPiece};
use club::shaft::{BenchBeam, USUAL_CLAMP};
use club::{Club, Swingweight, bench_model};
use quantity::{Frequency, InchStep, Inertia, Length, Mass, Printed};

/// A change shorter than this is none. Derived: half of the finest step a bench tape reads.
const NO_CHANGE: Length = Length::inches(1.0 / 64.0);
/// A limit passed by rounding alone is not passed. Derived.
const ROUNDING: f64 = 1e-9;
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

/// Says what is out of tolerance.
fn misses(aim: &Aim, state: &State, frequency: Option<Frequency>, off: Off) -> Vec<String> {
    let way = |off: f64, (over, under): (&'static str, &'static str)| if off > 0.0 { over } else { under };
    let out = |at: usize| off.get(at).copied().filter(|off| off.abs() > 1.0 + ROUNDING);
    let length = out(0).map(|off| {
        let by = (state.length - aim.length.0).abs().to_step(InchStep::ThirtySecond);
        format!("{by} too {}", way(off, ("long", "short")))
    });
    let number = out(1).map(|off| match aim.number {
        AimedNumber::Swingweight(wanted, _) => {
            let points = Printed::new(state.swingweight.points_above(wanted).abs(), 1, "points");
            format!("{points} too {} on the scale", way(off, ("heavy", "light")))
        }
        AimedNumber::Inertia(wanted, _) => {
            let by = Printed::new((state.inertia - wanted).as_kg_cm2().abs(), 0, "kg cm²");
            format!("inertia {by} too {}", way(off, ("high", "low")))
        }
    });
    let mass = out(2).zip(aim.mass).map(|(off, (wanted, _))| {
        format!("{} too {}", (state.mass - wanted).abs().grams_printed(1), way(off, ("heavy", "light")))
    });
    let of_frequency = out(3).zip(aim.frequency).zip(frequency).map(|((off, (wanted, _)), found)| {
        format!("{} {} the line", (found - wanted).abs().cpm_printed(1), way(off, ("over", "under")))
    });
    [length, number, mass, of_frequency].into_iter().flatten().collect()
}

/// The parts of one kind, by place.
fn of_kind(shelf: &[ShelfPart], kind: PartKind) -> impl Iterator<Item = (usize, &ShelfPart)> {
    shelf.iter().enumerate().filter(move |(_, part)| part.kind == kind && part.at_hand > 0)
}

/// What goes with the work: the cheapest of its kind that is there. A shelf that lists none of a kind does not count it.
fn consumable(shelf: &[ShelfPart], kind: PartKind) -> Option<Option<usize>> {
    if !shelf.iter().any(|part| part.kind == kind) {
        return Some(None);
    }
    of_kind(shelf, kind).min_by_key(|(place, part)| (part.cost_cents, *place)).map(|(place, _)| Some(place))
}

/// A club after its way and with its grip, nothing added yet.
struct Base {
    way: Way,
    bench: OnBench,
    uses: Vec<(usize, u32)>,
    minutes: u32,
    /// How much longer the butt is, where the shaft stays.
    longer: Option<Length>,
    /// Whether the grip is off, so that a butt weight can go in.
    is_open: bool,
}

/// Something added, with what it uses and the minutes it takes.
struct Addition {
    added: Added,
    uses: Vec<(usize, u32)>,
    minutes: u32,
}

impl Addition {
    /// The club with it.
    fn on(&self, bench: &OnBench, rules: &BuildRules<'_>) -> OnBench {
        match self.added {
            Added::Nothing => *bench,
            Added::Head(mass) => bench.with_head_mass(mass),
            Added::Butt(mass) => bench.with_butt_weight(mass, rules.house.butt_weight_at),
        }
    }

    fn at_the_head(&self) -> Mass {
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
fn cents_of(uses: &[(usize, u32)], minutes: u32, shelf: &[ShelfPart], rules: &BuildRules<'_>) -> f64 {
    let parts =
        uses.iter().filter_map(|(part, count)| Some(shelf.get(*part)?.cost_cents * i64::from(*count)));
    (parts.sum::<i64>() + i64::from(minutes) * rules.cents_a_minute) as f64
}

fn number_off(club: &ClubToBuild<'_>, bench: &OnBench) -> f64 {
    let whole = bench.whole();
    club.aim.number_off(Swingweight::of(&whole), whole.second)
}

/// Additions in the order of what they do to the number that is matched, in its tolerances: scale and inertia are sums, so
/// that this is the same whatever the club's grip and plug.
struct Additions(Vec<Listed>);

/// An addition, what it does to the number and what it costs.
struct Listed {
    effect: f64,
    cents: f64,
    addition: Addition,
}

/// How near a number must come by the sum for the candidate to be worked out. Derived: far over rounding.
const MARGIN: f64 = 1e-6;

impl Additions {
    fn of(
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
    fn that_bring(&self, off: f64, goal: Goal) -> std::ops::Range<usize> {
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
struct Lies {
    is_open: bool,
    head_is_off: bool,
    is_extended: bool,
}

impl Lies {
    fn of(base: &Base) -> Self {
        Self {
            is_open: base.is_open,
            head_is_off: base.way.kind() == WayKind::OtherShaft,
            is_extended: base.way.kind() == WayKind::Extend,
        }
    }
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

fn bases(club: &ClubToBuild<'_>, shelf: &[ShelfPart], rules: &BuildRules<'_>) -> Vec<Base> {
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

/// What may be added to a club: nothing, tape or a weight at the head, a weight in an open butt.
fn additions(lies: Lies, shelf: &[ShelfPart], rules: &BuildRules<'_>) -> Vec<Addition> {
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
    let frequency = frequency_of(club, base.longer, addition.at_the_head());
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

/// The frequency to expect where one was read and the shaft stays: half way between the two profiles that stand for all.
fn frequency_of(club: &ClubToBuild<'_>, longer: Option<Length>, at_the_head: Mass) -> Option<Frequency> {
    club.aim.frequency?;
    let (club, longer) = (club.club, longer?);
    let head = club.head.mass.value;
    let beam = BenchBeam {
        length: club.length(),
        head,
        shaft: club.on_bench.rest.mass - head,
        clamp: USUAL_CLAMP,
        frequency: club.frequency?,
    };
    let after = beam.altered(longer, at_the_head).ok()?;
    Some((after.butt_four_times_tip + after.uniform) * 0.5)
}

/// A part in a few words.
pub(super) fn part_words(part: &ShelfPart) -> String {
    match part.kind {
        PartKind::TipWeight | PartKind::ButtWeight => format!("{} of {}", part.name, weight(part.mass)),
        _ => part.name.clone(),
    }
}
