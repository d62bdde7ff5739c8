//! What cannot be part of a best answer is left out.
//!
//! Only scarce parts, of which a set may use up all, tie clubs together. Take an answer and a club of it whose candidate
//! has three others that cost no more and take no scarce part it does not take: each of the three can stand in its place,
//! so the answer is not among the three best, or others as good are. A candidate with three such others is left out.

use super::MOST_ANSWERS;
use super::candidate::{Candidate, Candidates};

/// Most candidates of a club. House choice: the dearest beyond are left out, and it is said.
const MOST_CANDIDATES: usize = 200;

/// A club's candidates that are left, the cheapest first.
#[derive(Debug, Clone)]
pub(super) struct Narrowed {
    pub(super) kept: Vec<Candidate>,
    /// Some were left out for their number alone.
    pub(super) is_cut: bool,
}

/// Leaves out what cannot be part of the best answers.
pub(super) fn narrow(candidates: Candidates, scarce: &[bool]) -> Narrowed {
    let Candidates { mut list, left_out_from } = candidates;
    list.sort_by(|a, b| a.score.total_cmp(&b.score).then_with(|| a.uses.cmp(&b.uses)));
    let mut kept: Vec<Candidate> = Vec::new();
    let mut taken: Vec<Vec<(usize, u32)>> = Vec::new();
    for candidate in list {
        let own = scarce_of(&candidate, scarce);
        let better = taken.iter().filter(|other| is_within(other, &own)).take(MOST_ANSWERS).count();
        if better >= MOST_ANSWERS {
            continue;
        }
        if kept.len() == MOST_CANDIDATES {
            return Narrowed { kept, is_cut: true };
        }
        taken.push(own);
        kept.push(candidate);
    }
    // three that take nothing scarce stand in for all that cost more
    let is_cut = left_out_from.is_some_and(|from| {
        let free = kept.iter().zip(&taken).filter(|(one, taken)| taken.is_empty() && one.score <= from);
        free.count() < MOST_ANSWERS
    });
    Narrowed { kept, is_cut }
}

fn scarce_of(candidate: &Candidate, scarce: &[bool]) -> Vec<(usize, u32)> {
    let is_scarce = |part: &usize| scarce.get(*part).copied().unwrap_or(true);
    candidate.uses.iter().filter(|(part, _)| is_scarce(part)).copied().collect()
}

/// Whether one takes no more of any part than the other.
fn is_within(one: &[(usize, u32)], other: &[(usize, u32)]) -> bool {
    one.iter().all(|(part, count)| other.iter().any(|(known, most)| known == part && count <= most))
}
