//! Whether strikes scatter more at some lengths than at others: said only when it is nearly sure, and never part of the
//! decision.
//!
//! The scatter's logarithm is a parabola in length, shared by both axes; residuals are those of each day's own line.

use crate::line::{AxisDay, along};
use crate::math::{exp, normal_below};
use crate::strike::{Axis, Strikes, count};
use crate::two_by_two::{Pair, Symmetric};

/// Standard deviations of the parabola's slope and bend before the trial. Assumptions of the method.
const SLOPE_SD: f64 = 0.3;
const BEND_SD: f64 = 0.6;
/// Odds from which it is said.
const NEARLY_SURE: f64 = 0.90;

/// Where strikes scatter more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WiderAt {
    /// Away from the rule's length, both ways.
    BothEnds,
    /// With the longer clubs.
    Longer,
    /// With the shorter clubs.
    Shorter,
}

/// Returns where strikes scatter more, when that is nearly sure.
#[must_use]
pub fn wider_at(strikes: &Strikes) -> Option<WiderAt> {
    let residuals: Vec<Vec<(f64, f64)>> =
        Axis::BOTH.iter().map(|axis| residuals(&along(strikes, *axis))).collect();
    if residuals.iter().any(|axis| axis.len() < 12) {
        return None;
    }
    let (mode, covariance) = most_probable(&residuals)?;
    let odds = |value: f64, variance: f64| normal_below(value / variance.sqrt());
    if odds(mode.slope, covariance.slope) >= NEARLY_SURE {
        return Some(WiderAt::BothEnds);
    }
    let longer = odds(mode.level, covariance.level);
    if longer >= NEARLY_SURE {
        Some(WiderAt::Longer)
    } else if 1.0 - longer >= NEARLY_SURE {
        Some(WiderAt::Shorter)
    } else {
        None
    }
}

/// Offset and squared residual of each ball, widened for what the days' lines took.
fn residuals(days: &[AxisDay]) -> Vec<(f64, f64)> {
    let (mut all, mut freedom) = (Vec::new(), 0.0);
    for day in days {
        let (left, free) = day.residuals();
        freedom += free;
        all.extend(day.offsets.iter().copied().zip(left).map(|(offset, value)| (offset, value * value)));
    }
    let wider = count(all.len()) / freedom.max(1.0);
    all.iter_mut().for_each(|(_, square)| *square *= wider);
    all
}

/// Slope and bend of the scatter's logarithm (as level and slope of a pair), and their covariance, by Newton's method;
/// each axis' own scatter is the best for it.
fn most_probable(axes: &[Vec<(f64, f64)>]) -> Option<(Pair, Symmetric)> {
    let prior = Symmetric::new(1.0 / (SLOPE_SD * SLOPE_SD), 0.0, 1.0 / (BEND_SD * BEND_SD));
    let shape = |offset: f64| Pair::new(offset, offset * offset - 0.125);
    let mut at = Pair::default();
    for _ in 0..50 {
        let (mut gradient, mut curvature) = (Pair::default() - prior.times(at), prior);
        for axis in axes {
            let (mut sum, mut first, mut second) = (0.0, Pair::default(), Symmetric::default());
            let mut plain = Pair::default();
            for (offset, square) in axis {
                let shape = shape(*offset);
                let weight = square * exp(-2.0 * at.dot(shape));
                sum += weight;
                first = first + shape.scaled(weight);
                second = second + Symmetric::square_of(shape).scaled(weight);
                plain = plain + shape;
            }
            if sum <= 0.0 {
                return None;
            }
            let (n, mean) = (count(axis.len()), first.scaled(1.0 / sum));
            gradient = gradient + mean.scaled(n) - plain;
            curvature = curvature + (second.scaled(1.0 / sum) - Symmetric::square_of(mean)).scaled(2.0 * n);
        }
        let step = curvature.inverse().times(gradient);
        at = at + step;
        if step.level.abs().max(step.slope.abs()) < 1e-9 {
            return Some((at, curvature.inverse()));
        }
    }
    None
}
