//! One candidate a club by an integer programme: least score, no part taken beyond its count.

use super::candidate::Candidate;
use super::{BuildError, ShelfPart};
use microlp::{
    ComparisonOp, Error, OptimizationDirection, Problem, SolutionStatus, SolveOptions, SolveOutcome, Variable,
};
use std::collections::BTreeMap;
use std::time::Duration;

/// The solver gives up after this. House choice: a set is solved in well under a second.
const PATIENCE: Duration = Duration::from_secs(20);

/// Branches that are tried where an answer is good enough without its proof. House choice: some hundredths of a second.
const A_FEW_NODES: u64 = 20;

/// More of a part than any set takes. Derived: 20 clubs with 40 in of tape each.
const ENOUGH: u32 = 100_000;

/// The picked candidate of each club, by place.
pub(super) type Picked = Vec<usize>;

/// How hard the solver tries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Effort {
    /// Until the best is proved.
    Proof,
    /// A few branches: what was found by then.
    AFewNodes,
}

/// Finds the best picks, the best first, and whether each is proved; none when the shelf allows none.
pub(super) fn best(
    choices: &[&[Candidate]],
    shelf: &[ShelfPart],
    most: usize,
) -> Result<(Vec<Picked>, bool), BuildError> {
    let (mut found, mut is_proved): (Vec<Picked>, bool) = (Vec::new(), true);
    let at_hand = |part: usize| shelf.get(part).map_or(0, |part| part.at_hand);
    while found.len() < most
        && let Some((picked, is_best)) = one(choices, at_hand, &found, Effort::Proof)?
    {
        found.push(picked);
        is_proved &= is_best;
    }
    Ok((found, is_proved))
}

/// Finds the best pick that is none of those found, and whether it is proved the best.
pub(super) fn one(
    choices: &[&[Candidate]],
    at_hand: impl Fn(usize) -> u32,
    found: &[Picked],
    effort: Effort,
) -> Result<Option<(Picked, bool)>, BuildError> {
    if choices.iter().any(|club| club.is_empty()) {
        return Ok(None);
    }
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let variables: Vec<Vec<Variable>> = choices
        .iter()
        .map(|club| {
            // a club's own least counts nothing: the programme's numbers stay small
            let least = club.iter().map(|candidate| candidate.score).fold(f64::INFINITY, f64::min);
            club.iter().map(|candidate| problem.add_binary_var(candidate.score - least)).collect()
        })
        .collect();
    for club in &variables {
        let one: Vec<(Variable, f64)> = club.iter().map(|variable| (*variable, 1.0)).collect();
        problem.add_constraint(&one, ComparisonOp::Eq, 1.0);
    }
    let mut takers: BTreeMap<usize, Vec<(Variable, f64)>> = BTreeMap::new();
    for (club, variables) in choices.iter().zip(&variables) {
        for (candidate, variable) in club.iter().zip(variables) {
            for (part, count) in &candidate.uses {
                takers.entry(*part).or_default().push((*variable, f64::from(*count)));
            }
        }
    }
    for (part, takers) in takers {
        problem.add_constraint(&takers, ComparisonOp::Le, f64::from(at_hand(part).min(ENOUGH)));
    }
    for picked in found {
        let again: Vec<(Variable, f64)> = variables
            .iter()
            .zip(picked)
            .filter_map(|(club, place)| Some((*club.get(*place)?, 1.0)))
            .collect();
        problem.add_constraint(&again, ComparisonOp::Le, again.len() as f64 - 1.0);
    }
    let mut options = SolveOptions::default();
    match effort {
        Effort::Proof => options.time_limit = Some(PATIENCE),
        Effort::AFewNodes => options.node_limit = Some(A_FEW_NODES),
    }
    let solution = match problem.solve_with(options) {
        Ok(SolveOutcome::Solution(solution)) => solution,
        Ok(SolveOutcome::Interrupted(_)) if effort == Effort::AFewNodes => return Ok(None),
        Ok(SolveOutcome::Interrupted(_)) => {
            return Err(BuildError::NotSolved(format!("it took more than {} s", PATIENCE.as_secs())));
        }
        Err(Error::Infeasible) => return Ok(None),
        Err(error) => return Err(BuildError::NotSolved(error.to_string())),
    };
    let picked: Picked = variables
        .iter()
        .filter_map(|club| club.iter().position(|variable| solution.var_value(*variable) > 0.5))
        .collect();
    if picked.len() == choices.len() {
        Ok(Some((picked, solution.status() == SolutionStatus::Optimal)))
    } else {
        Err(BuildError::NotSolved("an answer without a way for every club".to_owned()))
    }
}

/// How many of each part a pick takes.
pub(super) fn taken(choices: &[&[Candidate]], picked: &[usize]) -> BTreeMap<usize, u32> {
    let mut taken = BTreeMap::new();
    for (club, place) in choices.iter().zip(picked) {
        for (part, count) in club.get(*place).map(|candidate| candidate.uses.as_slice()).unwrap_or_default() {
            *taken.entry(*part).or_insert(0) += count;
        }
    }
    taken
}
