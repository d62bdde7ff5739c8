//! Draws of level and slope on both axes: the lattice laid through the posterior.

use crate::lattice::{Chooser, LATTICE, POINTS, whole};
use crate::posterior::Posterior;
use crate::strike::{Axis, count};
use crate::two_by_two::Pair;

/// One draw: the golfer as he or she may be.
#[derive(Debug, Clone, Copy)]
pub struct Draw {
    /// Level and slope toward the toe.
    pub toe: Pair,
    /// Level and slope upward.
    pub high: Pair,
}

impl Draw {
    /// Level and slope along one axis.
    #[must_use]
    pub fn along(&self, axis: Axis) -> Pair {
        match axis {
            Axis::Toe => self.toe,
            Axis::High => self.high,
        }
    }

    /// Where the mean strike lies at an offset, mm toward the toe and above.
    #[must_use]
    pub fn place_at(&self, offset_in: f64) -> (f64, f64) {
        (self.toe.level + self.toe.slope * offset_in, self.high.level + self.high.slope * offset_in)
    }
}

/// Returns the draws of a posterior.
///
/// `sweet_spot_sd` says how well the place of the sweet spot is known along each axis, mm; an error there moves every
/// strike alike.
#[must_use]
pub fn draws(posterior: &Posterior, sweet_spot_sd: [f64; 2]) -> Vec<Draw> {
    let mut draws = Vec::with_capacity(POINTS);
    let (mut odds, mut from) = (0.0, 0);
    let all: f64 = posterior.nodes.iter().map(|(odds, _)| odds).sum();
    for (of_node, axes) in &posterior.nodes {
        odds += of_node;
        let to = whole((count(POINTS) * odds / all).round()).min(POINTS);
        if to == from {
            continue;
        }
        let chooser = [0, 1].map(|axis| Chooser::new(axes[axis].lines.iter().map(|(weight, _)| *weight)));
        for point in &LATTICE[from..to] {
            let [toe, high] = [0, 1].map(|axis| {
                let (_, line) = &axes[axis].lines[chooser[axis].at(point.choice[axis])];
                let [level, slope] = point.line[axis];
                let shift = Pair::new(sweet_spot_sd[axis] * point.origin[axis], 0.0);
                line.mean + line.covariance.factor().times(Pair::new(level, slope)) - shift
            });
            draws.push(Draw { toe, high });
        }
        from = to;
    }
    draws
}
