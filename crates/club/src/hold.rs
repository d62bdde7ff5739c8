//! What it takes to hold a number: mass at the head or the butt that restores swingweight or inertia.
//!
//! The two cannot both be held by weights: a butt weight moves the scale and leaves the inertia, a head
//! weight moves both, in different proportion. The fitter chooses; both answers are given.

use crate::alter::OnBench;
use crate::{FULCRUM, Swingweight};
use quantity::{Inertia, Length, Mass};

/// Where a weight sits inside the butt. Trade practice: an inch down.
pub const BUTT_WEIGHT_AT: Length = Length::inches(1.0);

/// Which number an alteration should leave as it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Held {
    /// The reading of the 14-inch scale.
    Swingweight,
    /// The inertia about the grip end.
    Inertia,
}

/// Returns the mass to add at the head (negative: to take off) to bring the scale to `wanted`.
#[must_use]
pub fn head_mass_for_swingweight(club: &OnBench, wanted: Swingweight) -> Mass {
    (wanted.moment() - club.swingweight().moment()) / (club.length - FULCRUM)
}

/// Returns the mass to add at the head (negative: to take off) to bring the inertia to `wanted`.
#[must_use]
pub fn head_mass_for_inertia(club: &OnBench, wanted: Inertia) -> Mass {
    mass_for_inertia(wanted - club.inertia(), club.length)
}

/// Returns the mass that has this inertia at this distance.
pub(crate) fn mass_for_inertia(inertia: Inertia, at: Length) -> Mass {
    let reach_m = at.as_metres();
    Mass::kilograms(inertia.as_kg_m2() / (reach_m * reach_m))
}

/// Returns the weight in the butt that brings the scale down to `wanted`, if it reads above it.
#[must_use]
pub fn butt_weight_for_swingweight(club: &OnBench, wanted: Swingweight, at: Length) -> Option<Mass> {
    let surplus = club.swingweight().moment() - wanted.moment();
    let weight = surplus / (FULCRUM - at);
    (weight > Mass::ZERO).then_some(weight)
}

/// Returns the mass a grip must gain (lose, when negative) to bring the scale to `wanted`.
#[must_use]
pub fn grip_mass_for_swingweight(club: &OnBench, wanted: Swingweight) -> Mass {
    (club.swingweight().moment() - wanted.moment()) / (FULCRUM - crate::bench_model::GRIP_CENTRE)
}

/// Picks the weight on the shelf nearest to what is wanted; of two equally near, the lighter.
///
/// `None` when the shelf is empty or nothing at all is nearer.
#[must_use]
pub fn nearest_weight(shelf: &[Mass], wanted: Mass) -> Option<Mass> {
    let off_by = |weight: &Mass| (*weight - wanted).abs();
    shelf
        .iter()
        .copied()
        .min_by(|a, b| off_by(a).compare(&off_by(b)).then(a.compare(b)))
        .filter(|weight| off_by(weight) < wanted.abs())
}

#[cfg(test)]
mod tests {
    use super::nearest_weight;
    use quantity::Mass;

    #[test]
    fn the_nearest_weight_is_taken_and_none_when_none_is_nearer() {
        let shelf: Vec<Mass> = [2.0, 4.0, 6.0, 8.0].into_iter().map(Mass::grams).collect();
        assert_eq!(nearest_weight(&shelf, Mass::grams(6.9)), Some(Mass::grams(6.0)));
        assert_eq!(nearest_weight(&shelf, Mass::grams(7.0)), Some(Mass::grams(6.0)));
        assert_eq!(nearest_weight(&shelf, Mass::grams(0.7)), None);
        assert_eq!(nearest_weight(&[], Mass::grams(6.9)), None);
    }
}
