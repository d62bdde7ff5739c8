//! What one more day would be worth: how much the least expected cost falls, on average over what the day may bring.

use crate::decision::eighths;
use crate::lattice::{Chooser, LATTICE};
use crate::posterior::{Moments, Point, Posterior};
use crate::strike::{Axis, count};
use crate::two_by_two::{Pair, Symmetric};

/// How many days are imagined, and how many golfers for each.
const IMAGINED: usize = 256;

/// The worth of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NextDay {
    /// How much the expected cost of the best length falls, mm².
    pub gain_mm2: f64,
    /// Odds afterwards that the best eighth is right to an eighth, on average.
    pub odds_within_eighth: f64,
}

/// Returns what a day with these balls would be worth; nothing when they are all of one length.
///
/// `balls` holds the offsets of the day's balls, `offsets_in` the lengths among which is chosen. Costs are squared
/// distances, both directions alike. Assumes that what is known is near enough normal along each axis.
#[must_use]
pub fn next_day(posterior: &Posterior, balls: &[f64], offsets_in: &[f64]) -> Option<NextDay> {
    let known = Axis::BOTH.map(|axis| posterior.moments(axis));
    let sums = balls.iter().fold(Symmetric::default(), |sums, d| sums + Symmetric::new(1.0, *d, d * d));
    if sums.determinant() < 1e-9 {
        return None;
    }
    let from_balls = sums.inverse();
    let choices = eighths(offsets_in);
    let now = least(&choices, &known).1;
    let mut chance = Chance::new(posterior);
    let (mut after, mut right) = (0.0, 0.0);
    for day in 0..IMAGINED {
        let imagined = chance.day(day, from_balls, &known);
        let (choice, cost) = least(&choices, &imagined);
        after += cost;
        right += odds_within_eighth(choice, offsets_in, &imagined);
    }
    Some(NextDay {
        gain_mm2: (now - after / count(IMAGINED)).max(0.0),
        odds_within_eighth: right / count(IMAGINED),
    })
}

/// The choice of least expected cost, and that cost.
fn least(choices: &[f64], axes: &[Moments; 2]) -> (f64, f64) {
    let cost = |d: f64| -> f64 { axes.iter().map(|axis| axis.square_at(d)).sum() };
    let costs = choices.iter().map(|choice| (*choice, cost(*choice)));
    costs.min_by(|one, other| one.1.total_cmp(&other.1)).unwrap_or((0.0, 0.0))
}

/// What days may bring.
struct Chance<'a> {
    posterior: &'a Posterior,
    nodes: Chooser,
    /// The length that fits of the last imagined day, and how to choose among its parts.
    last: Option<(usize, [Chooser; 2])>,
}

impl<'a> Chance<'a> {
    fn new(posterior: &'a Posterior) -> Self {
        let nodes = Chooser::new(posterior.nodes.iter().map(|(odds, _)| *odds));
        Self { posterior, nodes, last: None }
    }

    /// What would be known after the imagined day of this number.
    fn day(&mut self, number: usize, from_balls: Symmetric, known: &[Moments; 2]) -> [Moments; 2] {
        let (point, noise) = (&LATTICE[number], &LATTICE[IMAGINED + number]);
        let node = self.nodes.at((count(number) + 0.5) / count(IMAGINED));
        let (_, axes) = &self.posterior.nodes[node];
        if self.last.as_ref().is_none_or(|(last, _)| *last != node) {
            let choosers = axes.each_ref().map(|axis| Chooser::new(axis.odds.iter().copied()));
            self.last = Some((node, choosers));
        }
        let chosen =
            |axis: usize| self.last.as_ref().map_or(0, |(_, choosers)| choosers[axis].at(point.choice[axis]));
        [0, 1].map(|axis| {
            let place = chosen(axis);
            let ((mean, factor), Point { spread, errors }) =
                (axes[axis].line(place), axes[axis].point(place));
            let deviates =
                |point: &crate::lattice::Point| Pair::new(point.line[axis][0], point.line[axis][1]);
            let golfer = mean + factor.times(deviates(point));
            let of_day = Symmetric::new(spread.day_level.powi(2), 0.0, spread.day_slope.powi(2))
                + from_balls.scaled(spread.scatter.powi(2) * errors.variance_of_a_mean());
            let seen = golfer + of_day.factor().times(deviates(noise));
            updated(&known[axis], seen, of_day)
        })
    }
}

/// What is known once a day's line was seen with its own uncertainty.
fn updated(known: &Moments, seen: Pair, uncertainty: Symmetric) -> Moments {
    let covariance = known.covariance();
    let precision = covariance.inverse() + uncertainty.inverse();
    let after = precision.inverse();
    let mean = after.times(covariance.inverse().times(known.mean) + uncertainty.inverse().times(seen));
    Moments { mean, square: after + Symmetric::square_of(mean) }
}

fn odds_within_eighth(choice: f64, offsets_in: &[f64], axes: &[Moments; 2]) -> f64 {
    let (least, most) = crate::answer::ends(offsets_in);
    let factors = [0, 1].map(|axis: usize| axes[axis].covariance().factor());
    let inside = LATTICE[..IMAGINED]
        .iter()
        .filter(|point| {
            let [toe, high] = [0, 1].map(|axis| {
                axes[axis].mean + factors[axis].times(Pair::new(point.line[axis][0], point.line[axis][1]))
            });
            let along = toe.slope * toe.slope + high.slope * high.slope;
            let fit = -(toe.level * toe.slope + high.level * high.slope) / along;
            (fit.clamp(least, most) - choice).abs() <= 0.125 + 1e-9
        })
        .count();
    count(inside) / count(IMAGINED)
}
