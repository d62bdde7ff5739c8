//! The scatter of single balls and the restlessness of days, on a grid: three numbers integrated out for each axis.

use crate::math::{ln, ln_normal};
use crate::prior::{DAY_LEVEL_SCALE, DAY_SLOPE_SCALE, SCATTER};
use crate::quadrature::Rule;

/// One point of the grid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Scatter of single balls, mm: a standard deviation, or the scale of a Student t.
    pub scatter: f64,
    /// Standard deviation of a day's level, mm.
    pub day_level: f64,
    /// Standard deviation of a day's slope, mm per inch.
    pub day_slope: f64,
}

/// The nodes of each of the three.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Nodes<'a> {
    /// Gauss-Hermite.
    pub(crate) scatter: &'a Rule,
    /// Gauss-Legendre.
    pub(crate) day_level: &'a Rule,
    /// Gauss-Legendre.
    pub(crate) day_slope: &'a Rule,
}

/// Returns the points with the logarithms of their weights, prior included: scatter outermost, slope innermost.
///
/// `scale` is a first guess of the scatter from the balls, and `freedom` how many balls it rests on; with none the
/// prior alone places the nodes.
pub(crate) fn grid(nodes: Nodes<'_>, scale: f64, freedom: f64) -> Vec<(Spread, f64)> {
    let scatters = scatters(nodes.scatter, scale, freedom);
    let levels = half_normal(nodes.day_level, DAY_LEVEL_SCALE);
    let slopes = half_normal(nodes.day_slope, DAY_SLOPE_SCALE);
    let mut points = Vec::with_capacity(scatters.len() * levels.len() * slopes.len());
    for (scatter, of_scatter) in &scatters {
        for (day_level, of_level) in &levels {
            for (day_slope, of_slope) in &slopes {
                points.push((
                    Spread { scatter: *scatter, day_level: *day_level, day_slope: *day_slope },
                    of_scatter + of_level + of_slope,
                ));
            }
        }
    }
    points
}

/// Nodes of the scatter's logarithm about where balls and prior put it.
fn scatters(rule: &Rule, scale: f64, freedom: f64) -> Vec<(f64, f64)> {
    // wider than the normal approximation, so that the tails are held
    const WIDER: f64 = 1.15;
    let (middle, spread) = (ln(SCATTER.0), SCATTER.1);
    let known = 1.0 / (spread * spread);
    let from_balls = if freedom > 0.0 && scale > 0.0 { 2.0 * freedom } else { 0.0 };
    let from_scale = if from_balls > 0.0 { from_balls * ln(scale) } else { 0.0 };
    let centre = (from_scale + known * middle) / (from_balls + known);
    let width = WIDER * std::f64::consts::SQRT_2 / (from_balls + known).sqrt();
    rule.nodes
        .iter()
        .zip(&rule.weights)
        .map(|(z, weight)| {
            let log = centre + width * z;
            (crate::math::exp(log), ln(*weight) + z * z + ln(width) + ln_normal(log, middle, spread))
        })
        .collect()
}

/// Nodes of a half-normal: squared, so that they crowd toward zero, out to five scales.
fn half_normal(rule: &Rule, scale: f64) -> Vec<(f64, f64)> {
    rule.nodes
        .iter()
        .zip(&rule.weights)
        .map(|(t, weight)| {
            let value = 5.0 * scale * t * t;
            let density = std::f64::consts::LN_2 + ln_normal(value, 0.0, scale);
            (value, ln(*weight) + ln(10.0 * scale * t) + density)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{Nodes, grid};
    use crate::math::exp;
    use crate::quadrature::{HERMITE_7, LEGENDRE_7, LEGENDRE_12};

    #[test]
    fn the_weights_of_a_grid_sum_to_one() {
        // definition: without balls the grid integrates the prior, which is normalised
        let points =
            grid(Nodes { scatter: &HERMITE_7, day_level: &LEGENDRE_12, day_slope: &LEGENDRE_7 }, 0.0, 0.0);
        let sum: f64 = points.iter().map(|(_, weight)| exp(*weight)).sum();
        assert!((sum - 1.0).abs() < 2e-3, "{sum}");
        // its mean day level is scale · sqrt(2/π)
        let mean: f64 = points.iter().map(|(spread, weight)| exp(*weight) * spread.day_level).sum();
        assert!((mean - 4.0 * (2.0 / std::f64::consts::PI).sqrt()).abs() < 0.02, "{mean}");
    }
}
