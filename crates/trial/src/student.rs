//! Student scatter with four degrees of freedom: a mishit pulls little.
//!
//! For each point of the grid the most probable line is found by weighting balls anew, near the end by Newton's method,
//! until nothing moves, and Laplace's approximation about it stands for the rest. Days are eliminated one by one, so the work grows with balls and days,
//! not with their product.

use crate::evidence::{Errors, Given, GivenLine};
use crate::grid::{Nodes, Spread, grid};
use crate::line::{AxisDay, Sums};
use crate::math::ln;
use crate::prior::{LEVEL_SD, SLOPE_SD};
use crate::quadrature::{HERMITE_7, LEGENDRE_7, LEGENDRE_9};
use crate::two_by_two::{Pair, Symmetric};

/// Degrees of freedom.
const NU: f64 = 4.0;
/// Fewest balls it is asked for: on three the approximation was off by 0.14 standard deviations.
pub(crate) const FEWEST_BALLS: usize = 12;
const MOST_ROUNDS: usize = 60;
const SETTLED: f64 = 1e-6;
/// A round that moves less than this, mm, hands over to Newton's method. Assumption; it only saves time.
const NEAR: f64 = 1.0;

/// Returns what the strikes say at every point of the grid.
pub(crate) fn evidence(days: &[AxisDay]) -> Vec<Given> {
    let (scale, freedom) = robust_scale(days);
    let mut mode = Mode {
        line: Pair::default(),
        days: vec![Pair::default(); days.len()],
        terms: Vec::with_capacity(days.len()),
    };
    // a ball says less of the scale of a Student t than of a normal: its information is ν/(ν + 3) of it. Derived.
    let nodes = Nodes { scatter: &HERMITE_7, day_level: &LEGENDRE_9, day_slope: &LEGENDRE_7 };
    grid(nodes, scale, freedom * NU / (NU + 3.0))
        .into_iter()
        .map(|(spread, ln_weight)| given(days, spread, ln_weight, &mut mode))
        .collect()
}

/// 1.4826 times the median distance from the median of what the days' lines leave.
fn robust_scale(days: &[AxisDay]) -> (f64, f64) {
    let (mut left, mut freedom) = (Vec::new(), 0.0);
    for (of_day, free) in days.iter().map(AxisDay::residuals) {
        left.extend(of_day);
        freedom += free;
    }
    let middle = median(&mut left);
    let mut distances: Vec<f64> = left.iter().map(|value| (value - middle).abs()).collect();
    // 1.4826 = 1 over the 0.75 quantile of the normal. Derived.
    (1.4826 * median(&mut distances), freedom)
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    match values.len() {
        0 => 0.0,
        n if n % 2 == 1 => values[n / 2],
        n => 0.5 * (values[n / 2 - 1] + values[n / 2]),
    }
}

/// The most probable line, and how far each day departs from it in units of the days' standard deviations.
struct Mode {
    line: Pair,
    days: Vec<Pair>,
    /// Of the round at work.
    terms: Vec<(DayTerm, Symmetric)>,
}

/// The sums of one day under the weights of its balls, and what they say of the day's own departure.
struct DayTerm {
    /// Of the day's departure with itself: 1 + …
    own: Symmetric,
    /// Of the line with the day: rows level and slope of the line, columns of the day.
    cross: [[f64; 2]; 2],
    pull: Pair,
}

impl DayTerm {
    fn of(sums: &Sums, spread: Spread) -> Self {
        let (u, v) = (spread.day_level, spread.day_slope);
        Self {
            own: Symmetric::new(1.0 + u * u * sums.n, u * v * sums.d, 1.0 + v * v * sums.dd),
            cross: [[u * sums.n, v * sums.d], [u * sums.d, v * sums.dd]],
            pull: Pair::new(u * sums.y, v * sums.dy),
        }
    }

    /// `cross · pair`.
    fn across(&self, pair: Pair) -> Pair {
        let [[a, b], [c, d]] = self.cross;
        Pair::new(a * pair.level + b * pair.slope, c * pair.level + d * pair.slope)
    }

    /// `crossᵀ · pair`.
    fn back(&self, pair: Pair) -> Pair {
        let [[a, b], [c, d]] = self.cross;
        Pair::new(a * pair.level + c * pair.slope, b * pair.level + d * pair.slope)
    }

    /// What of the line's precision the day's own freedom takes away: `cross · own⁻¹ · crossᵀ`.
    fn taken(&self, inverse: Symmetric) -> Symmetric {
        let first = self.across(inverse.times(Pair::new(self.cross[0][0], self.cross[0][1])));
        let second = self.across(inverse.times(Pair::new(self.cross[1][0], self.cross[1][1])));
        Symmetric::new(first.level, 0.5 * (first.slope + second.level), second.slope)
    }
}

fn prior() -> Symmetric {
    Symmetric::new(1.0 / (LEVEL_SD * LEVEL_SD), 0.0, 1.0 / (SLOPE_SD * SLOPE_SD))
}

fn given(days: &[AxisDay], spread: Spread, ln_weight: f64, mode: &mut Mode) -> Given {
    settle(days, spread, mode);
    let (curvature, ln_determinant) = curvature(days, spread, mode, observed)
        .unwrap_or_else(|| curvature(days, spread, mode, expected).unwrap_or((prior(), 0.0)));
    let departures: f64 = mode.days.iter().map(|day| day.dot(*day)).sum();
    let prior = prior();
    // Laplace: likelihood and prior at the mode, over the square root of the curvature's determinant. Under the wide
    // prior the line's own part is evidence.under's; taken off here, so that any prior can be laid over.
    let at_mode =
        ln_likelihood(days, spread, mode) - 0.5 * departures - 0.5 * mode.line.dot(prior.times(mode.line))
            + 0.5 * ln(prior.determinant())
            - 0.5 * ln_determinant;
    let pull = curvature.times(mode.line);
    let under_prior = 0.5 * (mode.line.dot(pull) - ln(curvature.determinant()) + ln(prior.determinant()));
    Given {
        spread,
        errors: Errors::Student,
        ln_weight,
        ln_constant: at_mode - under_prior,
        line: GivenLine { precision: curvature - prior, pull },
    }
}

/// Moves to the most probable line: weighting anew is sure and slow, Newton's method quick once near.
fn settle(days: &[AxisDay], spread: Spread, mode: &mut Mode) {
    let mut last = f64::INFINITY;
    for _ in 0..MOST_ROUNDS {
        let is_near = last < NEAR;
        let newton = if is_near { step(days, spread, mode, Round::Newton, last) } else { None };
        let Some(moved) = newton.or_else(|| step(days, spread, mode, Round::Weights, f64::INFINITY)) else {
            return;
        };
        if moved < SETTLED {
            return;
        }
        last = moved;
    }
}

/// How a round finds the next line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Round {
    /// By least squares with the balls' weights.
    Weights,
    /// By the curvature itself.
    Newton,
}

/// One round; returns how far anything moved, or nothing, and stays, when it would move farther than `most` or the
/// curvature is not that of a maximum.
fn step(days: &[AxisDay], spread: Spread, mode: &mut Mode, round: Round, most: f64) -> Option<f64> {
    let one = 1.0 / (spread.scatter * spread.scatter);
    let (mut precision, mut pull) = (prior(), Pair::default());
    mode.terms.clear();
    for (day, departure) in days.iter().zip(&mode.days) {
        let line = of_day(mode.line, *departure, spread);
        let mut sums = Sums::default();
        for (offset, place) in day.offsets.iter().zip(&day.places) {
            let fitted = line.level + line.slope * offset;
            let left = place - fitted;
            // weight (ν + 1)/(ν + t), curvature (ν + 1)(ν - t)/(ν + t)², both in units of one
            let share = 1.0 / (NU + left * left * one);
            let weight = (NU + 1.0) * one * share;
            match round {
                Round::Weights => sums.add(weight, *offset, *place),
                Round::Newton => {
                    let curved = weight * (2.0 * NU * share - 1.0);
                    sums.add_pulled(curved, *offset, curved * fitted + weight * left);
                }
            }
        }
        let term = DayTerm::of(&sums, spread);
        if term.own.level <= 0.0 || term.own.determinant() <= 0.0 {
            return None;
        }
        let inverse = term.own.inverse();
        precision = precision + Symmetric::new(sums.n, sums.d, sums.dd) - term.taken(inverse);
        pull = pull + Pair::new(sums.y, sums.dy) - term.across(inverse.times(term.pull));
        mode.terms.push((term, inverse));
    }
    if precision.level <= 0.0 || precision.determinant() <= 0.0 {
        return None;
    }
    let line = precision.inverse().times(pull);
    let found = |(term, inverse): &(DayTerm, Symmetric)| inverse.times(term.pull - term.back(line));
    let departures =
        mode.days.iter().zip(&mode.terms).map(|(departure, term)| farthest(found(term) - *departure));
    let moved = departures.fold(farthest(line - mode.line), f64::max);
    if moved > most {
        return None;
    }
    mode.line = line;
    for (departure, term) in mode.days.iter_mut().zip(&mode.terms) {
        *departure = found(term);
    }
    Some(moved)
}

fn farthest(pair: Pair) -> f64 {
    pair.level.abs().max(pair.slope.abs())
}

/// A day's own line.
fn of_day(line: Pair, departure: Pair, spread: Spread) -> Pair {
    line + Pair::new(spread.day_level * departure.level, spread.day_slope * departure.slope)
}

/// Curvature a ball adds, in units of one over the scale's square, by its squared distance in scales.
fn observed(t: f64) -> f64 {
    (NU + 1.0) * (NU - t) / ((NU + t) * (NU + t))
}

fn expected(_: f64) -> f64 {
    (NU + 1.0) / (NU + 3.0)
}

/// The curvature of level and slope with days eliminated, and the logarithm of the whole determinant; nothing when it
/// is no maximum.
fn curvature(
    days: &[AxisDay],
    spread: Spread,
    mode: &Mode,
    weight: impl Fn(f64) -> f64,
) -> Option<(Symmetric, f64)> {
    let one = 1.0 / (spread.scatter * spread.scatter);
    let (mut precision, mut ln_determinant) = (prior(), 0.0);
    for (day, departure) in days.iter().zip(&mode.days) {
        let line = of_day(mode.line, *departure, spread);
        let mut sums = Sums::default();
        for (offset, place) in day.offsets.iter().zip(&day.places) {
            let left = place - line.level - line.slope * offset;
            sums.add(weight(left * left * one) * one, *offset, *place);
        }
        let term = DayTerm::of(&sums, spread);
        let determinant = term.own.determinant();
        if term.own.level <= 0.0 || determinant <= 0.0 {
            return None;
        }
        ln_determinant += ln(determinant);
        precision = precision + Symmetric::new(sums.n, sums.d, sums.dd) - term.taken(term.own.inverse());
    }
    let determinant = precision.determinant();
    (precision.level > 0.0 && determinant > 0.0).then(|| (precision, ln_determinant + ln(determinant)))
}

fn ln_likelihood(days: &[AxisDay], spread: Spread, mode: &Mode) -> f64 {
    // Γ(5/2) / (Γ(2) · sqrt(4π)) = 3/8. Derived: Γ(5/2) = 3·sqrt(π)/4.
    let one = 1.0 / (NU * spread.scatter * spread.scatter);
    let each = ln(0.375) - ln(spread.scatter);
    let (mut sum, mut product) = (0.0, 1.0);
    for (day, departure) in days.iter().zip(&mode.days) {
        let line = of_day(mode.line, *departure, spread);
        for (offset, place) in day.offsets.iter().zip(&day.places) {
            let left = place - line.level - line.slope * offset;
            product *= 1.0 + left * left * one;
            if product > 1e200 {
                sum += ln(product);
                product = 1.0;
            }
        }
        sum += each / -2.5 * day.count();
    }
    -2.5 * (sum + ln(product))
}
