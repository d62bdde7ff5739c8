//! Draws of level and slope on both axes: the lattice laid through the posterior.

use crate::lattice::{Chooser, LATTICE, POINTS, whole};
use crate::posterior::{AxisPosterior, Posterior};
use crate::strike::{Axis, count};
use crate::two_by_two::{Factor, Pair};

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
        let [toe, high] = axes;
        if to == from || toe.odds.is_empty() || high.odds.is_empty() {
            continue;
        }
        // within a length the toe axis' parts are gone through evenly and in order, so each is factored once
        let chooser = Chooser::new(high.odds.iter().copied());
        let mut in_order = InOrder::new(toe);
        let step = 1.0 / count(to - from);
        for (place, point) in LATTICE[from..to].iter().enumerate() {
            let deviates = |axis: usize| Pair::new(point.line[axis][0], point.line[axis][1]);
            let marked = |axis: usize| Pair::new(sweet_spot_sd[axis] * point.origin[axis], 0.0);
            let (mean, factor) = in_order.at((count(place) + 0.5) * step);
            let (high_mean, high_factor) = high.line(chooser.at(point.choice[1]));
            draws.push(Draw {
                toe: mean + factor.times(deviates(0)) - marked(0),
                high: high_mean + high_factor.times(deviates(1)) - marked(1),
            });
        }
        from = to;
    }
    draws
}

/// The points of one axis gone through in order, by rising share of their odds.
struct InOrder<'a> {
    axis: &'a AxisPosterior,
    at: usize,
    /// Odds of the points up to and with the one it is at.
    below: f64,
    found: (Pair, Factor),
}

impl<'a> InOrder<'a> {
    fn new(axis: &'a AxisPosterior) -> Self {
        Self { axis, at: 0, below: axis.odds[0], found: axis.line(0) }
    }

    fn at(&mut self, u: f64) -> (Pair, Factor) {
        let last = self.axis.odds.len() - 1;
        if self.below <= u && self.at < last {
            while self.below <= u && self.at < last {
                self.at += 1;
                self.below += self.axis.odds[self.at];
            }
            self.found = self.axis.line(self.at);
        }
        self.found
    }
}
