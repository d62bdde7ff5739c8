//! What the strikes say of level and slope along one axis, for every point of the grid.
//!
//! Place = level + day's shift + (slope + day's change of slope) · offset + scatter. Given scatter and restlessness, all
//! that the strikes say of level and slope is a precision, a pull and a constant; any prior can then be laid over it.

use crate::grid::Spread;
use crate::prior::Node;
use crate::two_by_two::{Factor, Pair, Symmetric};

/// How single balls scatter about their day's line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Errors {
    /// Normal.
    Normal,
    /// Student t with four degrees of freedom: now and then one goes far astray.
    Student,
}

impl Errors {
    /// What a ball's variance counts for in a line through many balls, in squares of the scatter.
    ///
    /// Derived: the inverse of the information of a place, which for a Student t is (ν + 1)/(ν + 3) of a normal's.
    pub(crate) fn variance_of_a_mean(self) -> f64 {
        match self {
            Self::Normal => 1.0,
            Self::Student => 7.0 / 5.0,
        }
    }
}

/// The strikes at one point of the grid.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Given {
    pub(crate) spread: Spread,
    pub(crate) errors: Errors,
    /// Weight of the point, prior included.
    pub(crate) ln_weight: f64,
    /// What of the likelihood depends on neither level nor slope.
    pub(crate) ln_constant: f64,
    pub(crate) line: GivenLine,
}

/// What the strikes say of level and slope at one point.
#[derive(Debug, Clone, Copy)]
pub(crate) struct GivenLine {
    pub(crate) precision: Symmetric,
    pub(crate) pull: Pair,
}

/// Level and slope as strikes and prior together have them.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Line {
    pub(crate) mean: Pair,
    pub(crate) covariance: Symmetric,
}

/// A point of the grid under a prior. What the line adds to the evidence, integrated out, is
/// `exp(ln_exponent)·root`.
pub(crate) struct Under {
    pub(crate) line: Line,
    pub(crate) ln_exponent: f64,
    /// One over the root of the precision's determinant.
    pub(crate) root: f64,
}

impl GivenLine {
    /// Lays a prior over it. Weight and constant of the point are the caller's.
    pub(crate) fn under(&self, prior: &Node) -> Under {
        let precision = prior.precision + self.precision;
        let root = 1.0 / precision.determinant().sqrt();
        let covariance =
            Symmetric::new(precision.slope, -precision.both, precision.level).scaled(root * root);
        let mean = covariance.times(self.pull);
        let ln_exponent = 0.5 * (mean.dot(self.pull) + prior.ln_determinant);
        Under { line: Line { mean, covariance }, ln_exponent, root }
    }

    /// Mean and lower factor of the covariance under a prior, without the covariance: for draws.
    pub(crate) fn drawn_under(&self, prior: &Node) -> (Pair, Factor) {
        let precision = prior.precision + self.precision;
        let of_slope = 1.0 / precision.slope;
        let tie = precision.both * of_slope;
        // the level's own precision, once the slope is integrated out
        let own = precision.level - precision.both * tie;
        let level_sd = 1.0 / own.sqrt();
        let level = (self.pull.level - tie * self.pull.slope) * (level_sd * level_sd);
        let mean = Pair::new(level, of_slope * self.pull.slope - tie * level);
        (mean, Factor { level: level_sd, both: -tie * level_sd, slope: of_slope.sqrt() })
    }

    /// What the line adds to the evidence under any prior at the most, as a logarithm: the likelihood at its best line.
    /// Without a best line there is no bound.
    pub(crate) fn most_evidence(&self) -> f64 {
        let determinant = self.precision.determinant();
        if determinant <= 1e-9 * self.precision.level * self.precision.slope {
            return f64::INFINITY;
        }
        0.5 * self.precision.inverse().times(self.pull).dot(self.pull)
    }
}
