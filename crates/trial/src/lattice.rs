//! Points that fill the unit cube evenly, in place of random numbers: the same on every machine, every time.
//!
//! # Source
//! Derived: point i has the coordinates frac(1/2 + i·αⱼ) (Kronecker's sequence) with αⱼ = φ⁻ʲ, φ the root of φ⁷ = φ + 1,
//! which for one coordinate is the golden ratio. Two more coordinates, for where the sweet spot is, take frac(√2) and
//! frac(√3), which no whole-number combination of the others gives.

use crate::math::normal_quantile;
use std::sync::LazyLock;

/// How many points.
pub(crate) const POINTS: usize = 16_384;

/// One point: two coordinates as they are, six as normal deviates. [`crate::draws`] goes through the first axis' parts in
/// order instead of by its coordinate.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Point {
    /// Which part of each axis' mixture.
    pub(crate) choice: [f64; 2],
    /// Level and slope of each axis.
    pub(crate) line: [[f64; 2]; 2],
    /// Where the sweet spot is, along each axis.
    pub(crate) origin: [f64; 2],
}

/// All points, made once.
pub(crate) static LATTICE: LazyLock<Vec<Point>> = LazyLock::new(|| {
    let phi = root();
    let steps: Vec<f64> = (1..=6).map(|power| 1.0 / (0..power).map(|_| phi).product::<f64>()).collect();
    let (two, three) = (2.0_f64.sqrt() - 1.0, 3.0_f64.sqrt() - 1.0);
    (1..=POINTS)
        .map(|i| {
            let i = crate::strike::count(i);
            let at = |step: f64| (0.5 + i * step).fract().clamp(1e-12, 1.0 - 1e-12);
            let normal = |step: f64| normal_quantile(at(step));
            Point {
                choice: [at(steps[0]), at(steps[1])],
                line: [[normal(steps[2]), normal(steps[3])], [normal(steps[4]), normal(steps[5])]],
                origin: [normal(two), normal(three)],
            }
        })
        .collect()
});

/// The root of φ⁷ = φ + 1.
fn root() -> f64 {
    let mut phi: f64 = 1.1;
    for _ in 0..60 {
        let sixth = phi * phi * phi * phi * phi * phi;
        phi -= (sixth * phi - phi - 1.0) / (7.0 * sixth - 1.0);
    }
    phi
}

/// Picks parts of a mixture by their odds: the inverse of the cumulated odds, with a table of where to begin.
pub(crate) struct Chooser {
    cumulated: Vec<f64>,
    begin: Vec<usize>,
}

impl Chooser {
    pub(crate) fn new(odds: impl Iterator<Item = f64>) -> Self {
        let mut sum = 0.0;
        let cumulated: Vec<f64> = odds
            .map(|odds| {
                sum += odds;
                sum
            })
            .collect();
        let cells = crate::strike::count(cumulated.len());
        let (mut begin, mut part) = (Vec::with_capacity(cumulated.len()), 0);
        for cell in 0..cumulated.len() {
            let edge = crate::strike::count(cell) / cells * sum;
            while part + 1 < cumulated.len() && cumulated[part] <= edge {
                part += 1;
            }
            begin.push(part);
        }
        Self { cumulated, begin }
    }

    /// The part at `u` of all odds.
    pub(crate) fn at(&self, u: f64) -> usize {
        let last = self.cumulated.len() - 1;
        let sum = self.cumulated[last];
        let cell = whole(u * crate::strike::count(self.cumulated.len())).min(last);
        let mut part = self.begin[cell];
        while part < last && self.cumulated[part] <= u * sum {
            part += 1;
        }
        part
    }
}

/// The whole part of a number that is not negative.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the whole part is what is wanted"
)]
pub(crate) fn whole(value: f64) -> usize {
    value.max(0.0) as usize
}

#[cfg(test)]
mod tests {
    use super::{Chooser, LATTICE, root};

    #[test]
    fn the_points_fill_evenly() {
        // derived: mean 1/2 and variance 1/12 of each even coordinate, 0 and 1 of each normal one
        let n = 16_384.0;
        let mean = |of: &dyn Fn(&super::Point) -> f64| LATTICE.iter().map(of).sum::<f64>() / n;
        for place in 0..2 {
            assert!((mean(&|point| point.choice[place]) - 0.5).abs() < 1e-3);
            assert!((mean(&|point| point.origin[place].powi(2)) - 1.0).abs() < 0.01);
            for other in 0..2 {
                // a hundredth of a standard deviation: the coordinates of high powers come to 0.006
                assert!(mean(&|point| point.line[place][other]).abs() < 0.01);
                assert!((mean(&|point| point.line[place][other].powi(2)) - 1.0).abs() < 0.01);
            }
        }
        let phi = root();
        assert!((phi.powi(7) - phi - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_chooser_gives_each_part_its_share() {
        let chooser = Chooser::new([0.1, 0.0, 0.6, 0.3].into_iter());
        let mut counts = [0_u32; 4];
        for point in 0..10_000 {
            counts[chooser.at((f64::from(point) + 0.5) / 10_000.0)] += 1;
        }
        assert_eq!(counts, [1_000, 0, 6_000, 3_000]);
    }
}
