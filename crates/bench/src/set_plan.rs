//! The plan of a whole set: target, ways and choice for every club, and the job that follows.

use crate::club_plan::{ClubPlan, club_plan, wanted};
use crate::job::Job;
use crate::way::WayKind;
use crate::{BenchError, House};
use club::rules::LengthRule;
use club::{Club, ClubEntry, ClubError};
use fitting::{FittingError, Golfer, Target, target};

/// A club as entered, and the way the fitter wishes for it, if any.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct WishedClub {
    /// The club as entered.
    pub entry: ClubEntry,
    /// The way wished for.
    pub wish: Option<WayKind>,
}

/// Where in the input a problem lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Where {
    /// Under the golfer.
    Golfer,
    /// Under the house.
    House,
    /// Under the club of this place in the list.
    Club(usize),
}

/// A problem and where it lies.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanProblem {
    /// In which part of the input.
    pub place: Where,
    /// The field, as in `head.mass`.
    pub field: &'static str,
    /// What is wrong.
    pub error: BenchError,
}

/// A golfer's whole set.
#[derive(Debug, Clone, PartialEq)]
pub struct SetPlan {
    /// The golfer.
    pub golfer: Golfer,
    /// Limits and habits used.
    pub house: House,
    /// The target and what speaks against it.
    pub target: Target,
    /// The clubs, longest kind first.
    pub clubs: Vec<ClubPlan>,
    /// The job.
    pub job: Job,
}

impl SetPlan {
    /// Says what a close look found on any club of the bag, the rule's and the others: `driver cracked: ...`.
    #[must_use]
    pub fn findings(&self) -> Vec<String> {
        let of_club = |plan: &ClubPlan| -> Vec<String> {
            let name = &plan.club.name;
            plan.club.conditions.iter().map(|condition| format!("{name} {}.", condition.warning())).collect()
        };
        self.clubs.iter().flat_map(of_club).collect()
    }

    /// Says which clubs, as they leave, do not plainly appear to fit the rule on length, and of the others that they do.
    #[must_use]
    pub fn rule_on_length(&self) -> Vec<String> {
        let exceptions = self.clubs.iter().filter(|plan| plan.length_rule() != LengthRule::AppearsToFit);
        let mut said: Vec<String> =
            exceptions.map(|plan| format!("{}: {}", plan.club.name, plan.length_rule().sentence())).collect();
        let which = if said.is_empty() { "All" } else { "All other" };
        said.push(format!("{which} lengths appear to fit the rule on length; the committee decides."));
        said
    }
}

/// Plans a set.
///
/// The order of the clubs given does not matter. Everything wrong with the input is returned at once.
///
/// # Errors
/// Every problem with its place and field.
pub fn plan(golfer: &Golfer, clubs: &[WishedClub], house: &House) -> Result<SetPlan, Vec<PlanProblem>> {
    let mut problems = Vec::new();
    if let Err(found) = house.check() {
        let problem = |(field, error)| PlanProblem { place: Where::House, field, error };
        problems.extend(found.into_iter().map(problem));
    }
    let target = match target(&golfer.readings, &house.rule) {
        Ok(target) => Some(match golfer.trial.clone() {
            Some(trial) => target.moved_by(trial),
            None => target,
        }),
        Err(found) => {
            problems.extend(found.into_iter().map(|(field, error)| {
                let (place, field) = match (&error, field) {
                    (FittingError::BadRule { what, .. }, _) => (Where::House, *what),
                    (_, field) => (Where::Golfer, field),
                };
                PlanProblem { place, field, error: error.into() }
            }));
            None
        }
    };
    let mut known: Vec<(usize, Club, Option<WayKind>)> = Vec::new();
    for (index, wished) in clubs.iter().enumerate() {
        match wished.entry.complete() {
            Ok(club) => known.push((index, club, wished.wish)),
            Err(found) => problems.extend(found.into_iter().map(|problem| PlanProblem {
                place: Where::Club(index),
                field: problem.field,
                error: problem.error.into(),
            })),
        }
    }
    problems.extend(doubles(&known));
    let Some(target) = target.filter(|_| problems.is_empty()) else {
        return Err(problems);
    };

    known.sort_by(|(_, a, _), (_, b, _)| in_the_bag(a, b));
    let half_width = target.six_iron.half_width;
    let set_is_moved = known
        .iter()
        .filter_map(|(_, club, _)| wanted(club, &target, house))
        .any(|wanted| wanted.change.abs() > half_width);
    let mut plans = Vec::new();
    for (index, club, wish) in known {
        match club_plan(club, wish, set_is_moved, &target, house) {
            Ok(plan) => plans.push(plan),
            Err((field, error)) => {
                problems.push(PlanProblem { place: Where::Club(index), field, error });
            }
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let must_measure_again = target.asks_to_measure_again() && golfer.overruled.is_none();
    let job = Job::of(&plans, house, target.is_for_a_growing_golfer(), must_measure_again);
    Ok(SetPlan { golfer: golfer.clone(), house: house.clone(), target, clubs: plans, job })
}

/// Longest kind first; two wedges of one place by loft, then by name.
fn in_the_bag(a: &Club, b: &Club) -> std::cmp::Ordering {
    a.kind.cmp(&b.kind).then(a.loft.compare(&b.loft)).then_with(|| a.name.cmp(&b.name))
}

/// A set holds each club once: the same number twice, or one wedge twice, is a slip. Two wedges of one place
/// are told apart by the lofts in their names.
fn doubles(clubs: &[(usize, Club, Option<WayKind>)]) -> Vec<PlanProblem> {
    let same = |a: &Club, b: &Club| {
        let loft = |club: &Club| club.kind.loft_in_name(&club.name);
        a.kind == b.kind && loft(a) == loft(b)
    };
    clubs
        .iter()
        .enumerate()
        .filter(|(at, (_, club, _))| clubs[..*at].iter().any(|(_, earlier, _)| same(earlier, club)))
        .map(|(_, (index, club, _))| PlanProblem {
            place: Where::Club(*index),
            field: "name",
            error: ClubError::TwiceInTheSet { name: club.name.clone() }.into(),
        })
        .collect()
}
