//! Nodes and weights for integrals over what the strikes do not say: scatter and the restlessness of days.
//!
//! Found by Newton's method on the recurrences of the polynomials; `reference/` holds them against SciPy's.

use crate::math::exp;
use std::sync::LazyLock;

/// The rules the grids use, found once.
pub(crate) static HERMITE_7: LazyLock<Rule> = LazyLock::new(|| gauss_hermite(7));
pub(crate) static LEGENDRE_7: LazyLock<Rule> = LazyLock::new(|| gauss_legendre(7));
pub(crate) static LEGENDRE_9: LazyLock<Rule> = LazyLock::new(|| gauss_legendre(9));
pub(crate) static LEGENDRE_12: LazyLock<Rule> = LazyLock::new(|| gauss_legendre(12));

/// Nodes with their weights.
#[derive(Debug, Clone, PartialEq)]
pub struct Rule {
    /// Where the integrand is taken, rising.
    pub nodes: Vec<f64>,
    /// How much each counts.
    pub weights: Vec<f64>,
}

/// Returns the Gauss-Hermite rule for the weight `exp(-z²)` over the whole line.
#[must_use]
pub fn gauss_hermite(order: u32) -> Rule {
    // orthonormal Hermite functions keep the numbers small
    let first = 1.0 / std::f64::consts::PI.sqrt().sqrt();
    let found = roots_by_scan(order, 1.0 + (2.0 * f64::from(order) + 1.0).sqrt(), |z| {
        let (mut before, mut now) = (0.0, first);
        for n in 0..order {
            let n = f64::from(n);
            (before, now) = (now, z * (2.0 / (n + 1.0)).sqrt() * now - (n / (n + 1.0)).sqrt() * before);
        }
        // the derivative of the last is sqrt(2n) times the one before
        (now, (2.0 * f64::from(order)).sqrt() * before)
    });
    let weights = found.iter().map(|(_, slope)| 2.0 / (slope * slope)).collect();
    Rule { nodes: found.into_iter().map(|(z, _)| z).collect(), weights }
}

/// Returns the Gauss-Legendre rule on the interval from 0 to 1; its weights sum to 1.
#[must_use]
pub fn gauss_legendre(order: u32) -> Rule {
    let found = roots_by_scan(order, 1.0, |x| {
        let (mut before, mut now) = (0.0, 1.0);
        for n in 0..order {
            let n = f64::from(n);
            (before, now) = (now, ((2.0 * n + 1.0) * x * now - n * before) / (n + 1.0));
        }
        (now, f64::from(order) * (x * now - before) / (x * x - 1.0))
    });
    let weights = found.iter().map(|(x, slope)| 1.0 / ((1.0 - x * x) * slope * slope)).collect();
    Rule { nodes: found.into_iter().map(|(x, _)| 0.5 * (x + 1.0)).collect(), weights }
}

/// Finds the `order` roots of a polynomial within `-reach..reach`: changes of sign on a fine grid, then Newton.
fn roots_by_scan(order: u32, reach: f64, at: impl Fn(f64) -> (f64, f64)) -> Vec<(f64, f64)> {
    let steps = 40 * order * order;
    // an odd number of cells, so that the root at zero lies inside one
    let cells = steps + 1 - steps % 2;
    let place = |cell: u32| reach * (2.0 * f64::from(cell) / f64::from(cells) - 1.0);
    let mut roots = Vec::new();
    let mut last = at(place(0)).0;
    for cell in 1..=cells {
        let next = at(place(cell)).0;
        if last * next < 0.0 {
            let mut root = 0.5 * (place(cell - 1) + place(cell));
            for _ in 0..20 {
                let (value, slope) = at(root);
                root -= value / slope;
            }
            roots.push((root, at(root).1));
        }
        last = next;
    }
    roots
}

/// Returns the density of the normal distribution over a grid as weights of the trapezoid rule, each with its place.
pub(crate) fn normal_trapezoid(mean: f64, sd: f64, places: &[f64]) -> Vec<(f64, f64)> {
    let step = places.get(1).map_or(1.0, |second| second - places[0]);
    places
        .iter()
        .map(|z| (mean + sd * z, step * exp(-0.5 * z * z) / (2.0 * std::f64::consts::PI).sqrt()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{gauss_hermite, gauss_legendre};

    #[test]
    fn legendre_integrates_powers_exactly() {
        // derived: ∫₀¹ xᵏ dx = 1/(k + 1), exact up to degree 2n - 1
        for order in [4, 7, 9, 10] {
            let rule = gauss_legendre(order);
            for power in 0..2 * order {
                let sum: f64 = rule
                    .nodes
                    .iter()
                    .zip(&rule.weights)
                    .map(|(x, w)| w * x.powi(i32::try_from(power).unwrap()))
                    .sum();
                assert!((sum - 1.0 / (f64::from(power) + 1.0)).abs() < 1e-14, "{order} {power}: {sum}");
            }
        }
    }

    #[test]
    fn hermite_integrates_powers_exactly() {
        // derived: ∫ z²ᵏ exp(-z²) dz = Γ(k + 1/2), here by its recurrence; odd powers vanish
        for order in [5, 7] {
            let rule = gauss_hermite(order);
            let mut gamma = std::f64::consts::PI.sqrt();
            for half in 0..order {
                let power = |p: u32| -> f64 {
                    rule.nodes
                        .iter()
                        .zip(&rule.weights)
                        .map(|(z, w)| w * z.powi(i32::try_from(p).unwrap()))
                        .sum()
                };
                assert!((power(2 * half) / gamma - 1.0).abs() < 1e-12, "{order} {half}");
                assert!(power(2 * half + 1).abs() < 1e-12 * gamma.max(1.0) * 100.0);
                gamma *= f64::from(half) + 0.5;
            }
        }
    }
}
