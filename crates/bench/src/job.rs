//! The job: the chosen ways in the bench's safe order, with parts, checks and cautions.
//!
//! One club goes first and is hit before the rest are touched. Length comes before lie; what is glued cures
//! before it is played. Cautions stand beside the step they concern, once.

use crate::House;
use crate::club_check::ClubCheck;
use crate::club_plan::ClubPlan;
use crate::operations::{Operation, OperationsFor, operations};
use crate::parts::{PartLine, gathered};
use crate::standing::Standing;
use crate::way::WayKind;
use club::ClubKind;

/// The clubs that take the same way, and its steps.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// The way.
    pub kind: WayKind,
    /// The steps, with the numbers of the first club.
    pub operations: Vec<Operation>,
    /// The clubs, the first one first.
    pub clubs: Vec<ClubCheck>,
    /// The parts these clubs need.
    pub parts: Vec<PartLine>,
}

/// Something to be said, or signed for, before the work, and the clubs it is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToBeSaid {
    /// The clubs' names.
    pub clubs: Vec<String>,
    /// Why it is said.
    pub why: WhySaid,
    /// The word itself.
    pub text: String,
}

/// Why something is said before the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhySaid {
    /// A limit is passed that asks for a word.
    Caution,
    /// A limit is passed that asks for a signature.
    Acceptance,
    /// The number the house holds is not brought back whole.
    NotBroughtBack,
    /// The club was not weighed or balanced.
    WeighFirst,
}

impl WhySaid {
    /// Names it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Caution => "with caution",
            Self::Acceptance => "written acceptance",
            Self::NotBroughtBack => "not brought back whole",
            Self::WeighFirst => "weigh first",
        }
    }

    fn of(standing: &Standing) -> Self {
        match standing {
            Standing::NeedsAcceptance(_) => Self::Acceptance,
            Standing::Plain | Standing::Caution(_) | Standing::Refused(_) => Self::Caution,
        }
    }
}

impl Section {
    /// Collects what is said before the work: limits passed, and numbers that are not brought back whole. Clubs
    /// with the same word share it.
    #[must_use]
    pub fn to_be_said(&self) -> Vec<ToBeSaid> {
        let limits = self.clubs.iter().filter_map(|club| {
            let reason = club.standing.reason()?;
            Some((club, WhySaid::of(&club.standing), reason.trim_end_matches('.').to_owned()))
        });
        let left_over = self.clubs.iter().filter_map(|club| {
            let left = club.left_over.as_ref()?;
            Some((club, WhySaid::NotBroughtBack, format!("{}; {left}", club.fix.words())))
        });
        let unread = self.clubs.iter().filter(|club| !club.is_weighed && self.kind != WayKind::GripDown).map(|club| {
            let text = "mass, or balance and swingweight, not read: nothing is added to hold a number, and the set may \
                        leave uneven; read them and make the sheet again";
            (club, WhySaid::WeighFirst, text.to_owned())
        });
        let mut said: Vec<ToBeSaid> = Vec::new();
        for (club, why, text) in limits.chain(left_over).chain(unread) {
            match said.iter_mut().find(|word| word.why == why && word.text == text) {
                Some(word) => word.clubs.push(club.name.clone()),
                None => said.push(ToBeSaid { clubs: vec![club.name.clone()], why, text }),
            }
        }
        said
    }
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
    pub(crate) fn of(plans: &[ClubPlan], house: &House, is_growing: bool, must_measure_again: bool) -> Self {
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
            kinds.iter().map(|kind| Section::of(*kind, &worked, first, house, is_growing)).collect();
        let outcomes = || worked.iter().filter_map(|plan| plan.chosen());
        let has_cure = outcomes().any(|outcome| outcome.cures_with(house.hold));
        Self {
            waits_for: must_measure_again
                .then_some("The knuckle height is to be measured again before any work is done."),
            first_club: first.map(|plan| plan.club.name.clone()),
            stop_and_ask: stop_and_ask(&kinds),
            parts: gathered(worked.iter().flat_map(|plan| parts_of(plan, house, is_growing))),
            minutes: outcomes().map(|outcome| outcome.minutes_with(house.hold)).sum(),
            cure_hours: if has_cure { house.cure_hours } else { 0 },
            sections,
        }
    }

    /// Returns every club that is worked on, with its section's way.
    pub fn clubs(&self) -> impl Iterator<Item = &ClubCheck> {
        self.sections.iter().flat_map(|section| &section.clubs)
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

/// Saw and glue go before a regrip, a regrip before what is only gripped down; among alike a middle iron first.
fn first_rank(plan: &ClubPlan) -> (u8, u8) {
    let work = match kind_of(plan) {
        Some(WayKind::Extend | WayKind::Cut | WayKind::OtherShaft) => 0,
        Some(WayKind::Regrip) => 1,
        Some(WayKind::GripDown | WayKind::Leave) | None => 2,
    };
    let from_seven = match plan.club.kind {
        ClubKind::Iron(number) => number.abs_diff(7),
        ClubKind::Wedge(_) => 20,
        ClubKind::Driver | ClubKind::Wood(_) | ClubKind::Hybrid(_) | ClubKind::Putter => 40,
    };
    (work, from_seven)
}

impl Section {
    fn of(
        kind: WayKind,
        worked: &[&ClubPlan],
        first: Option<&ClubPlan>,
        house: &House,
        is_growing: bool,
    ) -> Self {
        let mut plans: Vec<&ClubPlan> =
            worked.iter().copied().filter(|plan| kind_of(plan) == Some(kind)).collect();
        let leads = |plan: &&ClubPlan| first.is_none_or(|first| first.club.name != plan.club.name);
        if plans.iter().all(leads) {
            plans.sort_by_key(|plan| first_rank(plan));
        } else {
            plans.sort_by_key(leads);
        }
        let clubs: Vec<ClubCheck> = plans.iter().filter_map(|plan| ClubCheck::of(plan, house)).collect();
        let operations = operations(&OperationsFor { kind, clubs: &clubs, house, is_growing });
        let parts = gathered(plans.iter().flat_map(|plan| parts_of(plan, house, is_growing)));
        Self { kind, operations, clubs, parts }
    }
}

/// What one club's way and the weight that holds its number need.
fn parts_of(plan: &ClubPlan, house: &House, is_growing: bool) -> Vec<PartLine> {
    let Some(outcome) = plan.chosen() else { return Vec::new() };
    let fix = outcome.held(house.hold).map(|remedy| remedy.fix.parts(outcome.way.kind(), is_growing));
    outcome.parts.iter().cloned().chain(fix.unwrap_or_default()).collect()
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
            "A reading before the work differs from what the card says by more than its tolerance: read again, and \
             make the sheet again.",
        ),
    ]
    .into_iter()
    .filter_map(|(applies, text)| applies.then_some(text))
    .collect()
}
