//! A mixture of normal distributions.

use crate::math::normal_below;

/// The value that is undercut with these odds, found by halving; each part has odds, mean and standard deviation, the odds
/// summing to one.
pub(crate) fn quantile_of_normals(parts: &[(f64, f64, f64)], odds: f64) -> f64 {
    let edge = |sign: f64, more: fn(f64, f64) -> f64| {
        parts.iter().map(|(_, mean, sd)| mean + sign * 4.0 * sd).fold(-sign * f64::INFINITY, more)
    };
    let (mut low, mut high) = (edge(-1.0, f64::min), edge(1.0, f64::max));
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        let below: f64 = parts.iter().map(|(odds, mean, sd)| odds * normal_below((middle - mean) / sd)).sum();
        if below < odds { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}
