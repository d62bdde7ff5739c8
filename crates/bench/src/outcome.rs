//! What each way would do to a club: before and after, lies, remedies, time and parts.
//!
//! Every way is worked out on the two bodies of [`club::alter::OnBench`], so balance, swingweight and inertia
//! come from the same sums.

use crate::house::Hold;
use crate::parts::PartLine;
use crate::remedy::{Fix, Remedy, Work};
use crate::standing::{Standing, standing};
use crate::way::{Way, WayKind};
use crate::{BenchError, Feel, House, State};
use club::alter::{FittedShaft, OnBench, PlugPiece, off_cut_mass};
use club::hold::Held;
use club::lie::{LieWanted, lie_wanted};
use club::{Club, Condition, bench_model};
use quantity::{Length, Mass};

/// What a way does to the club.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The way.
    pub way: Way,
    /// How it stands to limits and Rules.
    pub standing: Standing,
    /// The club before.
    pub before: State,
    /// The club after, nothing added.
    pub after: State,
    /// The lies wanted afterwards; `None` when the club gets so much shorter that the hands cannot stay.
    pub lie: Option<LieWanted>,
    /// Whether the golfer will feel it.
    pub feel: Feel,
    /// Whether scale and edge read the club: nothing is added to hold a number that was never read.
    pub is_weighed: bool,
    /// What holds the swingweight.
    pub hold_swingweight: Remedy,
    /// What holds the inertia.
    pub hold_inertia: Remedy,
    /// Minutes at the bench. Trade practice.
    pub minutes: u32,
    /// Whether glue has to cure before the club is hit.
    pub cures: bool,
    /// Parts, without those of a remedy.
    pub parts: Vec<PartLine>,
    /// What is still missing to the length wanted; longer is positive.
    pub remaining: Length,
}

impl Outcome {
    /// Returns the remedy the bench would make: of the number the house holds, where the club comes to the
    /// bench at all and was weighed.
    #[must_use]
    pub fn held(&self, hold: Hold) -> Option<&Remedy> {
        let comes_to_the_bench = !matches!(self.way.kind(), WayKind::Leave | WayKind::GripDown);
        match hold {
            Hold::Number(Held::Swingweight) => Some(&self.hold_swingweight),
            Hold::Number(Held::Inertia) => Some(&self.hold_inertia),
            Hold::Neither => None,
        }
        .filter(|_| comes_to_the_bench && self.is_weighed)
    }

    /// Minutes at the bench with what holds the house's number.
    #[must_use]
    pub fn minutes_with(&self, hold: Hold) -> u32 {
        let head_is_off = self.way.kind() == WayKind::OtherShaft;
        self.minutes + self.held(hold).map_or(0, |remedy| remedy.fix.minutes(head_is_off))
    }

    /// Tells whether glue has to cure, the remedy's included.
    #[must_use]
    pub fn cures_with(&self, hold: Hold) -> bool {
        let glued = |fix: &Fix| matches!(fix, Fix::TipWeight { .. } | Fix::ButtWeight(_));
        self.cures || self.held(hold).is_some_and(|remedy| glued(&remedy.fix))
    }

    /// Returns the club as it leaves the bench: the way, and what holds the house's number.
    #[must_use]
    pub fn finished(&self, hold: Hold) -> State {
        self.held(hold).map_or(self.after, |remedy| remedy.state)
    }
}

/// What a club's ways are reckoned for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wanted {
    /// How much longer the club must become to be built right.
    pub(crate) gap: Length,
    /// The same, but zero when the club is near enough.
    pub(crate) change: Length,
    /// Whether the golfer is growing.
    pub(crate) is_growing: bool,
    /// The way the fitter wishes for.
    pub(crate) wish: Option<WayKind>,
}

/// Works out every way that could bring this club nearer to its target.
///
/// # Errors
/// [`BenchError::Club`] when the club's numbers allow no such work.
pub(crate) fn ways(club: &Club, wanted: Wanted, house: &House) -> Result<Vec<Outcome>, BenchError> {
    let change = wanted.change;
    let grip_mass = house.new_grip_mass.unwrap_or(club.grip.mass);
    let mut ways = vec![Way::Leave];
    if change > Length::ZERO {
        ways.push(Way::Extend(change, plug(club, change, house)));
    } else if change < Length::ZERO {
        ways.push(Way::GripDown(-change));
        // more than half a club is not cut; the limit is far below, so nothing is lost
        if -change < club.length() / 2.0 {
            ways.push(Way::Cut(-change));
        }
    }
    let mut outcomes = Vec::new();
    for way in ways {
        outcomes.push(outcome(club, way, wanted, house)?);
    }
    let is_cracked = club.is(Condition::Cracked);
    let is_passed = outcomes.iter().any(|outcome| outcome.standing != Standing::Plain);
    if is_cracked || (is_passed && !wanted.is_growing) || wanted.wish == Some(WayKind::OtherShaft) {
        // a cracked shaft is replaced at the target; a child's club never comes out longer than it was
        let longer = if wanted.is_growing { wanted.gap.min(Length::ZERO) } else { wanted.gap };
        outcomes.push(outcome(club, Way::OtherShaft(longer), wanted, house)?);
    }
    outcomes.push(outcome(club, Way::Regrip(grip_mass), wanted, house)?);
    Ok(outcomes)
}

/// The extension piece: it starts under the cap, shows `by` and sits as deep as the card says.
fn plug(club: &Club, by: Length, house: &House) -> PlugPiece {
    let length = by + club.plug.seated;
    PlugPiece {
        mass: club.plug.mass_per_inch * length.as_inches(),
        centre: plug_centre(length, house),
        length,
    }
}

/// Where the middle of an extension piece is, from the club's end: it starts under the cap.
pub(crate) fn plug_centre(length: Length, house: &House) -> Length {
    house.cap + length / 2.0
}

fn outcome(club: &Club, way: Way, wanted: Wanted, house: &House) -> Result<Outcome, BenchError> {
    let before = State::of(&club.on_bench);
    let altered = altered(club, way, house)?;
    let down = way.grip_down();
    let after = State::held_down(&altered, down);
    let head_is_off = way.kind() == WayKind::OtherShaft;
    let work = Work { club: altered, down, head_is_off };
    let hold = way.change_of_hold();
    Ok(Outcome {
        way,
        standing: standing(club, way, house, wanted.is_growing),
        before,
        after,
        lie: lie_wanted(club.length(), club.lie, hold, Length::ZERO).ok(),
        feel: Feel::of(&before, &after),
        is_weighed: club.is_weighed,
        hold_swingweight: Remedy::of(Held::Swingweight, &before, &work, house),
        hold_inertia: Remedy::of(Held::Inertia, &before, &work, house),
        minutes: way.minutes(),
        cures: matches!(way.kind(), WayKind::Extend | WayKind::OtherShaft),
        parts: parts(club, way, house),
        remaining: wanted.gap - hold,
    })
}

fn altered(club: &Club, way: Way, house: &House) -> Result<OnBench, BenchError> {
    let on_bench = &club.on_bench;
    let grip_mass = house.new_grip_mass.unwrap_or(club.grip.mass);
    let with_new_grip = |club: OnBench| club.regripped(bench_model::grip(grip_mass));
    Ok(match way {
        Way::Leave | Way::GripDown(_) => *on_bench,
        Way::Cut(by) => with_new_grip(on_bench.cut(by, club.shaft.butt_mass_per_inch, house.cap)?),
        Way::Extend(by, plug) => with_new_grip(on_bench.extended(by, plug)),
        Way::Regrip(mass) => on_bench.regripped(bench_model::grip(mass)),
        Way::OtherShaft(by) => {
            let old = fitted_shaft(club);
            with_new_grip(on_bench.reshafted(by, old, longer_cut(old, club.length(), by))?)
        }
    })
}

/// The shaft in the club, from its inferred mass; it balances where the rest of the club lets it.
pub(crate) fn fitted_shaft(club: &Club) -> FittedShaft {
    let mass = club.shaft.mass.value;
    let head = bench_model::head(club.head.mass.value, club.length());
    let ferrule = bench_model::ferrule_and_glue(bench_model::FERRULE_AND_GLUE, club.length());
    let first = club.on_bench.rest.first - head.first - ferrule.first;
    FittedShaft { mass, balance: first / mass }
}

/// The same model of shaft, cut for another length: mass and balance point in proportion.
fn longer_cut(old: FittedShaft, length: Length, by: Length) -> FittedShaft {
    let cut = bench_model::shaft_length(length);
    let share = (cut + by) / cut;
    FittedShaft {
        mass: old.mass * share,
        balance: bench_model::CAP + (old.balance - bench_model::CAP) * share,
    }
}

fn parts(club: &Club, way: Way, house: &House) -> Vec<PartLine> {
    let grip = PartLine::grip(club, house.new_grip_mass.unwrap_or(club.grip.mass));
    match way {
        Way::Leave | Way::GripDown(_) => Vec::new(),
        Way::Regrip(_) | Way::Cut(_) => vec![grip, PartLine::two_way_tape()],
        Way::Extend(by, _) => {
            vec![PartLine::plug(club, by), grip, PartLine::two_way_tape(), PartLine::glue()]
        }
        Way::OtherShaft(by) => vec![
            PartLine::shaft(club, bench_model::shaft_length(club.length() + by)),
            grip,
            PartLine::two_way_tape(),
            PartLine::glue(),
            PartLine::ferrule(),
        ],
    }
}

/// Returns the mass of the off-cut to expect, for the job's check.
pub(crate) fn expected_off_cut(club: &Club, by: Length) -> Mass {
    off_cut_mass(by, club.shaft.butt_mass_per_inch)
}
