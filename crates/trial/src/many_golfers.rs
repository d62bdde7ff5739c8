//! What many profiles say together of the rule's error, at one habit and one spread of golfers about the rule.
//!
//! A golfer whose knuckles stand z inches above the rule's anchor suits a length that is normal about
//! intercept error + slope error · z with the spread as standard deviation, cut to the 3 in a profile spans. The most
//! probable pair of errors is found by Newton's method and Laplace's approximation about it stands for the rest.

use crate::math::{exp, exp_not_above_zero, ln};
use crate::profile::{FIT_PLACES, HABIT_SDS_MM, MIDDLE, fit_place_in};
use crate::strike::count;
use crate::studio_rule::{INTERCEPT_SD_IN, SLOPE_ERROR_SD, Tried};
use crate::two_by_two::{Pair, Symmetric};

/// Places of a row, filled up with zeros to whole fours.
const ROW: usize = FIT_PLACES.next_multiple_of(4);
/// Step between the lengths of a profile, in. Choice of the method, see [`fit_place_in`].
const STEP_IN: f64 = 0.05;
/// How far the normal about the rule is followed, in spreads. Choice of the method: at five, a golfer whose strikes
/// contradict the rule by more was lost; at eight it lacks 1e-15.
const REACH: f64 = 8.0;
/// Least probability of a length as a share of the likeliest, as its logarithm. Choice of the method: far below
/// anything that counts, and far enough above zero to multiply.
const LEAST_LN: f64 = -600.0;
/// Newton's method stops when a step would gain less than this in the logarithm. Choice of the method: the step is then
/// under a thousandth of a standard deviation, and it is still taken.
const SETTLED: f64 = 1e-6;
const MOST_ROUNDS: usize = 60;

/// The profiles as probabilities, by habit, in an order that does not depend on the order they came in.
pub(crate) struct Profiles {
    knuckles: Vec<f64>,
    rows: [Vec<[f64; ROW]>; HABIT_SDS_MM.len()],
    /// What was taken off all golfers' logarithms, by habit.
    ln_taken: [f64; HABIT_SDS_MM.len()],
}

impl Profiles {
    pub(crate) fn new(golfers: &[Tried]) -> Self {
        let mut golfers: Vec<&Tried> = golfers.iter().collect();
        golfers.sort_by(|one, other| {
            one.knuckle_above_anchor_in.total_cmp(&other.knuckle_above_anchor_in).then_with(|| {
                let pairs = one.profile.numbers().iter().zip(other.profile.numbers());
                pairs
                    .map(|(one, other)| one.total_cmp(other))
                    .find(|order| order.is_ne())
                    .unwrap_or(std::cmp::Ordering::Equal)
            })
        });
        let mut profiles = Self {
            knuckles: golfers.iter().map(|golfer| golfer.knuckle_above_anchor_in).collect(),
            rows: std::array::from_fn(|_| Vec::with_capacity(golfers.len())),
            ln_taken: [0.0; HABIT_SDS_MM.len()],
        };
        let most_of = |row: &[f64]| row.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        for golfer in golfers {
            // against the golfer's own best, so that a flat profile adds exactly nothing
            let best = most_of(golfer.profile.numbers());
            for habit in 0..HABIT_SDS_MM.len() {
                let logs = golfer.profile.of_habit(habit);
                let most = most_of(logs);
                let mut row = [0.0; ROW];
                for (value, log) in row.iter_mut().zip(logs) {
                    *value = exp_not_above_zero((log - most).max(LEAST_LN));
                }
                profiles.rows[habit].push(row);
                profiles.ln_taken[habit] += most - best;
            }
        }
        profiles
    }

    /// Most probable errors of intercept and slope at one habit and spread, and how sure they are.
    pub(crate) fn settle(&self, habit: usize, spread: &Spread, start: Pair) -> Settled {
        let mut at = self.at(habit, spread, start);
        for _ in 0..MOST_ROUNDS {
            let step = at.step();
            if step.dot(at.pull) < SETTLED {
                break;
            }
            let mut part = step;
            let next = loop {
                let next = self.at(habit, spread, at.errors + part);
                // a step that leads down is halved; one too small to tell is taken
                if next.ln >= at.ln || part.dot(at.pull) < SETTLED {
                    break next;
                }
                part = part.scaled(0.5);
            };
            at = next;
        }
        at.settled()
    }

    fn at(&self, habit: usize, spread: &Spread, errors: Pair) -> At {
        let prior = prior();
        let (mut ln_likelihood, mut pull) = (0.0, Pair::default());
        let (mut observed, mut complete) = (Symmetric::default(), Symmetric::default());
        let to_square = spread.one_over_square * spread.one_over_square;
        for (z, row) in self.knuckles.iter().zip(&self.rows[habit]) {
            let (with, without) = spread.moments(errors.level + errors.slope * z, row);
            let pulled = (with.mean - without.mean) * spread.one_over_square;
            let (curved, sure) =
                ((without.variance - with.variance) * to_square, without.variance * to_square);
            ln_likelihood += ln(with.sum / without.sum);
            pull = pull + Pair::new(pulled, pulled * z);
            observed = observed + Symmetric::new(curved, curved * z, curved * z * z);
            complete = complete + Symmetric::new(sure, sure * z, sure * z * z);
        }
        let of_prior = prior.times(errors);
        At {
            errors,
            ln: ln_likelihood + self.ln_taken[habit] + 0.5 * (ln(prior.determinant()) - errors.dot(of_prior)),
            pull: pull - of_prior,
            observed: observed + prior,
            complete: complete + prior,
        }
    }
}

fn prior() -> Symmetric {
    Symmetric::new(1.0 / (INTERCEPT_SD_IN * INTERCEPT_SD_IN), 0.0, 1.0 / (SLOPE_ERROR_SD * SLOPE_ERROR_SD))
}

/// Log posterior at one pair of errors, with its slopes and curvature.
struct At {
    errors: Pair,
    ln: f64,
    pull: Pair,
    observed: Symmetric,
    /// Curvature if the lengths that fit were known: never less, and positive everywhere.
    complete: Symmetric,
}

impl At {
    fn precision(&self) -> Symmetric {
        let is_a_hill = self.observed.level > 0.0 && self.observed.determinant() > 0.0;
        if is_a_hill { self.observed } else { self.complete }
    }

    fn step(&self) -> Pair {
        self.precision().inverse().times(self.pull)
    }

    fn settled(&self) -> Settled {
        let (precision, step) = (self.precision(), self.step());
        Settled {
            ln: self.ln + 0.5 * (step.dot(self.pull) - ln(precision.determinant())),
            mean: self.errors + step,
            covariance: precision.inverse(),
        }
    }
}

/// Errors of intercept and slope at one habit and spread.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Settled {
    /// Log evidence of habit and spread.
    pub(crate) ln: f64,
    pub(crate) mean: Pair,
    pub(crate) covariance: Symmetric,
}

/// One spread of golfers about the rule, with the normal density it makes on the even lengths of a profile.
pub(crate) struct Spread {
    /// Density at each number of steps from the place in the middle, as a share of that there.
    shares: [f64; FIT_PLACES],
    /// Steps it is followed.
    reach: usize,
    one_over_square: f64,
}

/// Sum, mean and variance of the length that fits.
struct Fit {
    sum: f64,
    mean: f64,
    variance: f64,
}

impl Spread {
    pub(crate) fn new(spread_in: f64) -> Self {
        let shares = std::array::from_fn(|steps| {
            let z = count(steps) * STEP_IN / spread_in;
            exp(-0.5 * z * z)
        });
        let reach = crate::lattice::whole((REACH * spread_in / STEP_IN).ceil()).min(FIT_PLACES - 1);
        Self { shares, reach, one_over_square: 1.0 / (spread_in * spread_in) }
    }

    /// The length that fits under the rule's mean, with a golfer's strikes and without them.
    ///
    /// With k the place nearest the mean m, i steps from it and e = m − k, the normal density is
    /// exp(−i²h²/2τ²)·exp(e·h/τ²)ⁱ up to a factor: a table and the powers of one number, so one exponential a golfer.
    fn moments(&self, mean_in: f64, row: &[f64; ROW]) -> (Fit, Fit) {
        let nearest = crate::lattice::whole((mean_in / STEP_IN + count(MIDDLE)).round()).min(FIT_PLACES - 1);
        let ratio = exp((mean_in - fit_place_in(nearest)) * STEP_IN * self.one_over_square);
        let (low, high) = (nearest.saturating_sub(self.reach), (nearest + self.reach).min(FIT_PLACES - 1));
        let mut density = [0.0; ROW];
        density[nearest] = 1.0;
        let (mut power, one_over) = (1.0, 1.0 / ratio);
        for (value, share) in density[nearest + 1..=high].iter_mut().zip(&self.shares[1..]) {
            power *= ratio;
            *value = power * share;
        }
        power = 1.0;
        for (value, share) in density[low..nearest].iter_mut().rev().zip(&self.shares[1..]) {
            power *= one_over;
            *value = power * share;
        }
        let within = low / 4 * 4..(high + 4) / 4 * 4;
        fits(&density[within.clone()], &row[within.clone()], &PLACES_IN[within])
    }
}

/// The lengths of a profile, inches from the rule's, filled up as rows are.
static PLACES_IN: std::sync::LazyLock<[f64; ROW]> =
    std::sync::LazyLock::new(|| std::array::from_fn(fit_place_in));

/// Four sums side by side, gathered in an order that is the same everywhere.
fn fits(density: &[f64], row: &[f64], places: &[f64]) -> (Fit, Fit) {
    let mut sums = [[0.0; 4]; 6];
    let fours = density.chunks_exact(4).zip(row.chunks_exact(4)).zip(places.chunks_exact(4));
    for ((density, row), place) in fours {
        for lane in 0..4 {
            let (without, x) = (density[lane], place[lane]);
            let with = without * row[lane];
            sums[0][lane] += with;
            sums[1][lane] += with * x;
            sums[2][lane] += with * x * x;
            sums[3][lane] += without;
            sums[4][lane] += without * x;
            sums[5][lane] += without * x * x;
        }
    }
    let [with, with_x, with_xx, without, without_x, without_xx] = sums.map(|[a, b, c, d]| (a + b) + (c + d));
    let fit = |sum: f64, x: f64, xx: f64| {
        let mean = x / sum;
        Fit { sum, mean, variance: xx / sum - mean * mean }
    };
    (fit(with, with_x, with_xx), fit(without, without_x, without_xx))
}
