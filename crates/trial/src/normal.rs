//! Normal scatter: everything in closed form from six sums a day.

use crate::evidence::{Errors, Given, GivenLine};
use crate::grid::{Nodes, Spread, grid};
use crate::line::{AxisDay, Sums, along};
use crate::math::{LN_2_PI, ln};
use crate::quadrature::{HERMITE_7, LEGENDRE_7, LEGENDRE_12};
use crate::strike::{Axis, Strikes};
use crate::two_by_two::{Pair, Symmetric};

/// Returns what the strikes say at every point of the grid.
pub(crate) fn evidence(days: &[AxisDay]) -> Vec<Given> {
    evidence_on(days, Nodes { scatter: &HERMITE_7, day_level: &LEGENDRE_12, day_slope: &LEGENDRE_7 })
}

/// The same on a grid of other nodes.
pub(crate) fn evidence_on(days: &[AxisDay], nodes: Nodes<'_>) -> Vec<Given> {
    let sums: Vec<Sums> = days.iter().map(AxisDay::sums).collect();
    let (squares, freedom) =
        days.iter().map(AxisDay::residuals).fold((0.0, 0.0), |(squares, freedom), (left, free)| {
            (squares + left.iter().map(|value| value * value).sum::<f64>(), freedom + free)
        });
    let scale = if freedom > 0.0 { (squares / freedom).sqrt() } else { 0.0 };
    grid(nodes, scale, freedom)
        .into_iter()
        .map(|(spread, ln_weight)| given(&sums, spread, ln_weight))
        .collect()
}

/// The restricted likelihood of one axis at given scatter and restlessness, with the line that goes with it.
#[derive(Debug, Clone, Copy)]
pub struct Restricted {
    /// Level and slope by generalised least squares.
    pub line: Pair,
    /// Their covariance.
    pub covariance: Symmetric,
    /// Logarithm of the restricted likelihood.
    pub ln_likelihood: f64,
}

/// Returns the restricted likelihood (REML) of one axis, as a check against other programs; nothing when the strikes
/// of one length only leave no slope.
#[must_use]
pub fn restricted(strikes: &Strikes, axis: Axis, spread: Spread) -> Option<Restricted> {
    let sums: Vec<Sums> = along(strikes, axis).iter().map(AxisDay::sums).collect();
    let given = given(&sums, spread, 0.0);
    let determinant = given.line.precision.determinant();
    (determinant > 0.0).then(|| {
        let covariance = given.line.precision.inverse();
        let line = covariance.times(given.line.pull);
        let ln_likelihood = given.ln_constant + 0.5 * (line.dot(given.line.pull) - ln(determinant)) + LN_2_PI;
        Restricted { line, covariance, ln_likelihood }
    })
}

/// What the strikes say at one point: day by day the shifts of level and slope are integrated out.
///
/// With G the sums of 1, d, d² and D = diag(day level², day slope²), a day adds T⁻¹G to the precision, where
/// T = scatter²·I + G·D; G is never inverted, so a day of one length is no special case.
fn given(sums: &[Sums], spread: Spread, ln_weight: f64) -> Given {
    let scatter = spread.scatter * spread.scatter;
    let (level, slope) = (spread.day_level * spread.day_level, spread.day_slope * spread.day_slope);
    let (mut precision, mut pull) = (Symmetric::default(), Pair::default());
    let (mut squares, mut ln_determinants, mut determinants, mut balls) = (0.0, 0.0, 1.0, 0.0);
    for day in sums {
        let t = [[scatter + day.n * level, day.d * slope], [day.d * level, scatter + day.dd * slope]];
        let determinant = t[0][0] * t[1][1] - t[0][1] * t[1][0];
        let one = 1.0 / determinant;
        let solve = |first: f64, second: f64| {
            Pair::new((t[1][1] * first - t[0][1] * second) * one, (t[0][0] * second - t[1][0] * first) * one)
        };
        let (of_level, of_slope, of_places) =
            (solve(day.n, day.d), solve(day.d, day.dd), solve(day.y, day.dy));
        precision = precision + Symmetric::new(of_level.level, of_slope.level, of_slope.slope);
        pull = pull + of_places;
        squares += (day.yy - level * day.y * of_places.level - slope * day.dy * of_places.slope) / scatter;
        determinants *= determinant;
        if determinants > 1e200 {
            ln_determinants += ln(determinants);
            determinants = 1.0;
        }
        balls += day.n;
    }
    ln_determinants += ln(determinants);
    let days = crate::strike::count(sums.len());
    let ln_likelihood =
        squares + balls * LN_2_PI + (balls - 2.0 * days) * 2.0 * ln(spread.scatter) + ln_determinants;
    Given {
        spread,
        errors: Errors::Normal,
        ln_weight,
        ln_constant: -0.5 * ln_likelihood,
        line: GivenLine { precision, pull },
    }
}
