//! From draws to what a decision needs: which length costs least, how sure that is, and what the others cost.

use crate::cost::Cost;
use crate::draws::{Draw, draws};
use crate::posterior::Posterior;
use crate::strike::count;

/// Two costs closer than this are alike, mm²: a mean strike 2 mm off the sweet spot. Assumption; a setting.
pub const NEAR_ENOUGH_MM2: f64 = 4.0;
/// Two expected costs closer than this are a tie; then the length nearer the rule's is taken.
const TIE_MM2: f64 = 0.1;

/// Draws that are costed together. Only speed hangs on it.
const AT_A_TIME: usize = 64;

/// What a posterior says of the lengths tried.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The lengths tried, as offsets, rising, in.
    pub offsets_in: Vec<f64>,
    /// Odds that each is the best of them.
    pub odds_best: Vec<f64>,
    /// Odds that each is the best, or too near the best to matter.
    pub odds_near_best: Vec<f64>,
    /// Expected cost of each over the least expected cost.
    pub excess: Vec<f64>,
    /// The length of least expected cost.
    pub choice_in: f64,
    /// The length that fits, clipped to those tried, in; one for each draw.
    pub fit_in: Vec<f64>,
    /// What the best of the lengths tried costs; one for each draw.
    pub lowest_cost: Vec<f64>,
    /// Draws the answer rests on.
    pub draws: Vec<Draw>,
}

impl Answer {
    /// Answers for the lengths tried.
    ///
    /// `near_enough` is in the cost's unit, `sweet_spot_sd` in mm by axis.
    #[must_use]
    pub fn of(
        posterior: &Posterior,
        offsets_in: &[f64],
        cost: &Cost,
        near_enough: f64,
        sweet_spot_sd: [f64; 2],
    ) -> Self {
        let draws = draws(posterior, sweet_spot_sd);
        let cost = cost.averaged(posterior);
        let (least, most) = ends(offsets_in);
        let lengths = offsets_in.len();
        let (mut best, mut near, mut sums) = (vec![0_u64; lengths], vec![0_u64; lengths], vec![0.0; lengths]);
        let mut fit_in: Vec<f64> = Vec::with_capacity(draws.len());
        let mut lowest_cost: Vec<f64> = Vec::with_capacity(draws.len());
        // length by length over a handful of draws at a time: no branch hangs on which length is the best
        let mut costs = vec![[0.0; AT_A_TIME]; lengths];
        for draws in draws.chunks(AT_A_TIME) {
            let mut lowest = [f64::INFINITY; AT_A_TIME];
            for (costs, offset) in costs.iter_mut().zip(offsets_in) {
                cost.of_draws(draws, *offset, costs);
                for (lowest, cost) in lowest.iter_mut().zip(costs.iter()) {
                    *lowest = if *cost < *lowest { *cost } else { *lowest };
                }
            }
            let mut is_free = [1_u64; AT_A_TIME];
            for (costs, ((best, near), sum)) in
                costs.iter().zip(best.iter_mut().zip(&mut near).zip(&mut sums))
            {
                let (costs, lowest) = (&costs[..draws.len()], &lowest[..draws.len()]);
                for ((cost, lowest), free) in costs.iter().zip(lowest).zip(&mut is_free) {
                    let is_best = u64::from(cost <= lowest) & *free;
                    *best += is_best;
                    *free ^= is_best;
                    *near += u64::from(cost - lowest <= near_enough);
                }
                *sum += sum_of(costs);
            }
            fit_in.extend(draws.iter().map(|draw| cost.best_offset(draw, least, most)));
            lowest_cost.extend(&lowest[..draws.len()]);
        }
        let all = count(draws.len()).max(1.0);
        let share = |counts: Vec<u64>| {
            counts
                .into_iter()
                .map(|hits| f64::from(u32::try_from(hits).unwrap_or(u32::MAX)) / all)
                .collect::<Vec<_>>()
        };
        let means: Vec<f64> = sums.iter().map(|sum| sum / all).collect();
        let lowest = means.iter().copied().fold(f64::INFINITY, f64::min);
        Self {
            offsets_in: offsets_in.to_vec(),
            odds_best: share(best),
            odds_near_best: share(near),
            excess: means.iter().map(|mean| mean - lowest).collect(),
            choice_in: least_cost(offsets_in, &means),
            fit_in,
            lowest_cost,
            draws,
        }
    }

    /// The quantile of the length that fits, in.
    #[must_use]
    pub fn fit_quantile(&self, p: f64) -> f64 {
        quantile(&self.fit_in, p)
    }

    /// Odds that the length that fits lies within `by` of an offset.
    #[must_use]
    pub fn odds_within(&self, offset_in: f64, by_in: f64) -> f64 {
        let inside = self.fit_in.iter().filter(|fit| (**fit - offset_in).abs() <= by_in + 1e-9).count();
        count(inside) / count(self.fit_in.len()).max(1.0)
    }

    /// Odds that a claim holds.
    #[must_use]
    pub fn odds(&self, holds: impl Fn(&Draw) -> bool) -> f64 {
        count(self.draws.iter().filter(|draw| holds(draw)).count()) / count(self.draws.len()).max(1.0)
    }

    /// Odds that a tested length is near enough to the best; nothing for a length that was not tried.
    #[must_use]
    pub fn odds_near_best_at(&self, offset_in: f64) -> Option<f64> {
        let place = self.offsets_in.iter().position(|offset| crate::is_same_length(*offset, offset_in))?;
        Some(self.odds_near_best[place])
    }
}

/// A sum in four lanes, which do not wait for each other.
fn sum_of(values: &[f64]) -> f64 {
    let (fours, rest) = values.as_chunks::<4>();
    let lanes =
        fours.iter().fold([0.0; 4], |sums: [f64; 4], four| [0, 1, 2, 3].map(|lane| sums[lane] + four[lane]));
    lanes.iter().chain(rest).sum()
}

/// The least and the most of the lengths tried; both 0 without any.
#[must_use]
pub fn ends(offsets_in: &[f64]) -> (f64, f64) {
    match (offsets_in.first(), offsets_in.last()) {
        (Some(least), Some(most)) => (*least, *most),
        _ => (0.0, 0.0),
    }
}

/// Of the lengths within a tie of the least cost the one nearest the rule's; of two as near the cheaper, then the
/// shorter.
fn least_cost(offsets_in: &[f64], means: &[f64]) -> f64 {
    let lowest = means.iter().copied().fold(f64::INFINITY, f64::min);
    let mut tied: Vec<(f64, f64)> = offsets_in
        .iter()
        .copied()
        .zip(means.iter().copied())
        .filter(|(_, mean)| *mean <= lowest + TIE_MM2)
        .collect();
    tied.sort_by(|one, other| {
        one.0.abs().total_cmp(&other.0.abs()).then(one.1.total_cmp(&other.1)).then(one.0.total_cmp(&other.0))
    });
    tied.first().map_or(0.0, |(offset, _)| *offset)
}

/// The quantile of values in any order, straight between the two it falls among.
#[must_use]
pub fn quantile(values: &[f64], p: f64) -> f64 {
    let Some(last) = values.len().checked_sub(1) else { return f64::NAN };
    let at = p.clamp(0.0, 1.0) * count(last);
    let below = crate::lattice::whole(at).min(last);
    let mut values = values.to_vec();
    let (_, found, rest) = values.select_nth_unstable_by(below, f64::total_cmp);
    let found = *found;
    let next = rest.iter().copied().fold(f64::INFINITY, f64::min);
    if next.is_finite() { found + (next - found) * (at - count(below)) } else { found }
}
