//! From draws to what a decision needs: which length costs least, how sure that is, and what the others cost.

use crate::cost::Cost;
use crate::draws::{Draw, draws};
use crate::posterior::Posterior;
use crate::strike::count;

/// Two costs closer than this are alike, mm²: a mean strike 2 mm off the sweet spot. Assumption; a setting.
pub const NEAR_ENOUGH_MM2: f64 = 4.0;
/// Two expected costs closer than this are a tie; then the length nearer the rule's is taken.
const TIE_MM2: f64 = 0.1;

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
        let (mut best, mut near, mut sums) = (vec![0_u32; lengths], vec![0_u32; lengths], vec![0.0; lengths]);
        let mut costs = vec![0.0; lengths];
        let mut fit_in: Vec<f64> = Vec::with_capacity(draws.len());
        for draw in &draws {
            for (slot, offset) in costs.iter_mut().zip(offsets_in) {
                *slot = cost.of(draw, *offset);
            }
            let lowest = costs.iter().copied().fold(f64::INFINITY, f64::min);
            if let Some(place) = costs.iter().position(|cost| *cost <= lowest) {
                best[place] += 1;
            }
            for ((near, sum), cost) in near.iter_mut().zip(&mut sums).zip(&costs) {
                *near += u32::from(cost - lowest <= near_enough);
                *sum += cost;
            }
            fit_in.push(cost.best_offset(draw, least, most));
        }
        let all = count(draws.len()).max(1.0);
        let share =
            |counts: Vec<u32>| counts.into_iter().map(|hits| f64::from(hits) / all).collect::<Vec<_>>();
        let means: Vec<f64> = sums.iter().map(|sum| sum / all).collect();
        let lowest = means.iter().copied().fold(f64::INFINITY, f64::min);
        Self {
            offsets_in: offsets_in.to_vec(),
            odds_best: share(best),
            odds_near_best: share(near),
            excess: means.iter().map(|mean| mean - lowest).collect(),
            choice_in: least_cost(offsets_in, &means),
            fit_in,
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
