//! What binds an answer, and why aims cannot be met.

use super::base::refusals;
use super::candidate::Candidate;
use super::pick::{self, Effort, Picked};
use super::shelf_part::part_words;
use super::{Binding, BuildError, BuildRules, ClubToBuild, ShelfPart};

/// Most parts that are tried for what one more would save, a few branches each. House choice: each is a programme of its
/// own, and a saving that is found is one whether or not a larger is.
const MOST_TRIED: usize = 4;

/// Parts that are used up, and what one more of each would save at least; those that would save nothing do not bind.
pub(super) fn binds(
    choices: &[&[Candidate]],
    shelf: &[ShelfPart],
    picked: &Picked,
) -> Result<Vec<Binding>, BuildError> {
    let cents = |picked: &Picked| -> i64 {
        let of =
            |(club, place): (&&[Candidate], &usize)| club.get(*place).map_or(0, |candidate| candidate.cents);
        choices.iter().zip(picked).map(of).sum()
    };
    let at_hand = |part: usize| shelf.get(part).map_or(0, |part| part.at_hand);
    let taken = pick::taken(choices, picked);
    let used_up = taken.iter().filter(|(part, count)| **count == at_hand(**part)).map(|(part, _)| *part);
    let mut binds = Vec::new();
    for part in used_up.take(MOST_TRIED) {
        let one_more = |other: usize| at_hand(other) + u32::from(other == part);
        if let Some((better, _)) = pick::one(choices, one_more, &[], Effort::AFewNodes)? {
            let saves_cents = cents(picked) - cents(&better);
            if saves_cents > 0 {
                binds.push(Binding { part, saves_cents });
            }
        }
    }
    binds.sort_by_key(|binding| std::cmp::Reverse(binding.saves_cents));
    Ok(binds)
}

/// Why aims cannot be met: a club that no part on the shelf brings there, or parts of which there are too few.
pub(super) fn because(
    clubs: &[ClubToBuild<'_>],
    within: &[&[Candidate]],
    shelf: &[ShelfPart],
    rules: &BuildRules<'_>,
) -> Result<Vec<String>, BuildError> {
    let mut because = Vec::new();
    for (club, _) in clubs.iter().zip(within).filter(|(_, candidates)| candidates.is_empty()) {
        let refused = refusals(club, rules);
        let why = if refused.is_empty() {
            "no way with a part on the shelf brings every number within its tolerance".to_owned()
        } else {
            refused.join("; ")
        };
        because.push(format!("{}: {why}", club.club.name));
    }
    if because.is_empty()
        && let Some((wished, _)) = pick::one(within, |_| u32::MAX, &[], Effort::Proof)?
    {
        let short = pick::taken(within, &wished).into_iter().filter_map(|(part, count)| {
            let part = shelf.get(part).filter(|part| part.at_hand < count)?;
            Some(format!("{}: {count} needed, {} at hand", part_words(part), part.at_hand))
        });
        because.extend(short);
    }
    Ok(because)
}
