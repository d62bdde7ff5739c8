//! The job: the chosen ways in the bench's safe order, with parts, checks and cautions.
//!
//! One club goes first and is hit before the rest are touched. Length comes before lie; what is glued cures
//! before it is played. Cautions stand beside the step they concern, once.

use crate::operations::{OperationsFor, operations};
use crate::parts::{PartLine, gathered};
use crate::remedy::Fix;
use crate::set_plan::ClubPlan;
use crate::way::{WayKind, expected_off_cut};
use crate::{House, State, Way};
use club::ClubKind;
use club::lie::LieWanted;
use quantity::{Angle, Length, Mass};

/// One step at the bench.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Operation {
    /// What to do.
    pub what: String,
    /// What to look for, with its tolerance.
    pub look_for: String,
    /// Whether a reading is written down.
    pub has_reading: bool,
    /// The caution that belongs to this step.
    pub caution: Option<&'static str>,
}

/// What one club should read when it is done.
#[derive(Debug, Clone, PartialEq)]
pub struct ClubCheck {
    /// The golfer's name for the club.
    pub name: String,
    /// The way taken.
    pub way: Way,
    /// The club before.
    pub before: State,
    /// The club when it leaves the bench.
    pub finished: State,
    /// What holds the house's number.
    pub fix: Fix,
    /// Whole length of the plug, when there is one.
    pub plug_length: Option<Length>,
    /// Mass the off-cut should weigh, when there is one.
    pub off_cut: Option<Mass>,
    /// The head's lie now, and those wanted.
    pub lie: Angle,
    /// The lies wanted afterwards, where one keeps the hands.
    pub lie_wanted: Option<LieWanted>,
    /// How far this head may be bent.
    pub bend_limit: Angle,
}

/// The clubs that take the same way, and its steps.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// The way.
    pub kind: WayKind,
    /// The steps, with the numbers of the first club.
    pub operations: Vec<Operation>,
    /// The clubs, the first one first.
    pub clubs: Vec<ClubCheck>,
}

/// A job for the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// Why the job waits, if it does.
    pub waits_for: Option<&'static str>,
    /// The club that goes first, is checked and is hit before the rest.
    pub first_club: Option<String>,
    /// The work, the first club's section first.
    pub sections: Vec<Section>,
    /// Parts to order.
    pub parts: Vec<PartLine>,
    /// Minutes at the bench, curing not counted.
    pub minutes: u32,
    /// Hours of curing before the clubs are hit; zero when nothing is glued.
    pub cure_hours: u32,
    /// When to stop and ask.
    pub stop_and_ask: Vec<&'static str>,
}

impl Job {
    /// Puts the chosen ways of a set in order.
    pub(crate) fn of(plans: &[ClubPlan], house: &House, must_measure_again: bool) -> Self {
        let worked: Vec<&ClubPlan> =
            plans.iter().filter(|plan| kind_of(plan).is_some_and(|kind| kind != WayKind::Leave)).collect();
        let first = worked.iter().min_by_key(|plan| first_rank(plan)).copied();
        let mut kinds: Vec<WayKind> =
            [WayKind::Extend, WayKind::Cut, WayKind::OtherShaft, WayKind::Regrip, WayKind::GripDown]
                .into_iter()
                .filter(|kind| worked.iter().any(|plan| kind_of(plan) == Some(*kind)))
                .collect();
        let first_kind = first.and_then(kind_of);
        kinds.sort_by_key(|kind| Some(*kind) != first_kind);
        let sections: Vec<Section> =
            kinds.iter().map(|kind| Section::of(*kind, &worked, first, house)).collect();
        let outcomes = || worked.iter().filter_map(|plan| plan.chosen());
        let has_cure = outcomes().any(|outcome| outcome.cures)
            || sections
                .iter()
                .flat_map(|section| &section.clubs)
                .any(|club| matches!(club.fix, Fix::TipWeight { .. }));
        let parts = outcomes().flat_map(|outcome| {
            let fix = outcome.held(house.hold).map(|remedy| remedy.fix.parts()).unwrap_or_default();
            outcome.parts.clone().into_iter().chain(fix)
        });
        Self {
            waits_for: must_measure_again
                .then_some("The knuckle height is to be measured again before any work is done."),
            first_club: first.map(|plan| plan.club.name.clone()),
            stop_and_ask: stop_and_ask(&kinds),
            parts: gathered(parts),
            minutes: outcomes().map(|outcome| outcome.minutes).sum(),
            cure_hours: if has_cure { house.cure_hours } else { 0 },
            sections,
        }
    }

    /// Tells whether there is anything to do.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.sections.is_empty()
    }
}

fn kind_of(plan: &ClubPlan) -> Option<WayKind> {
    plan.chosen().map(|outcome| outcome.way.kind())
}

/// A middle iron goes first, and one that is worked on at the bench before one that is only gripped down.
fn first_rank(plan: &ClubPlan) -> (bool, u8) {
    let from_seven = match plan.club.kind {
        ClubKind::Iron(number) => number.abs_diff(7),
        ClubKind::Wedge(_) => 20,
        ClubKind::Driver | ClubKind::Wood(_) | ClubKind::Hybrid(_) | ClubKind::Putter => 40,
    };
    (kind_of(plan) == Some(WayKind::GripDown), from_seven)
}

impl Section {
    fn of(kind: WayKind, worked: &[&ClubPlan], first: Option<&ClubPlan>, house: &House) -> Self {
        let mut plans: Vec<&ClubPlan> =
            worked.iter().copied().filter(|plan| kind_of(plan) == Some(kind)).collect();
        let leads = |plan: &&ClubPlan| first.is_none_or(|first| first.club.name != plan.club.name);
        if plans.iter().all(leads) {
            plans.sort_by_key(|plan| first_rank(plan));
        } else {
            plans.sort_by_key(leads);
        }
        let clubs: Vec<ClubCheck> = plans.iter().filter_map(|plan| ClubCheck::of(plan, house)).collect();
        let operations = match (clubs.first(), plans.first()) {
            (Some(check), Some(plan)) => operations(&OperationsFor { check, club: &plan.club, kind, house }),
            _ => Vec::new(),
        };
        Self { kind, operations, clubs }
    }
}

impl ClubCheck {
    fn of(plan: &ClubPlan, house: &House) -> Option<Self> {
        let outcome = plan.chosen()?;
        let (plug_length, off_cut) = match outcome.way {
            Way::Extend(_, plug) => (Some(plug.length), None),
            Way::Cut(by) => (None, Some(expected_off_cut(&plan.club, by))),
            Way::Leave | Way::GripDown(_) | Way::Regrip(_) | Way::OtherShaft(_) => (None, None),
        };
        let remedy = outcome.held(house.hold);
        Some(Self {
            name: plan.club.name.clone(),
            way: outcome.way,
            before: outcome.before,
            finished: outcome.finished(house.hold),
            fix: remedy.map_or(Fix::Nothing, |remedy| remedy.fix.clone()),
            plug_length,
            off_cut,
            lie: plan.club.lie,
            lie_wanted: outcome.lie,
            bend_limit: house.bend.of(plan.club.head.construction),
        })
    }
}

fn stop_and_ask(kinds: &[WayKind]) -> Vec<&'static str> {
    let has = |kind: WayKind| kinds.contains(&kind);
    [
        (has(WayKind::Extend), "A crack at the butt, an old plug inside, a butt that rings thin: do not extend."),
        (has(WayKind::Extend), "The plug does not go in dry by hand, or wobbles: get the right size, never force it."),
        (has(WayKind::Cut), "The mark and the target disagree by more than 1/16 in: measure again before the saw."),
        (
            has(WayKind::OtherShaft),
            "The tip is tapered and asks to be trimmed, or the hosel is cracked: stop, and look up the shaft's own sheet.",
        ),
        (
            !kinds.is_empty(),
            "A reading before the work differs from this sheet by more than its tolerance: the sheet was made for \
             another club.",
        ),
    ]
    .into_iter()
    .filter_map(|(applies, text)| applies.then_some(text))
    .collect()
}
