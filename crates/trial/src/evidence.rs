//! What the strikes say of level and slope along one axis, for every point of the grid.
//!
//! Place = level + day's shift + (slope + day's change of slope) · offset + scatter. Given scatter and restlessness, all
//! that the strikes say of level and slope is a precision, a pull and a constant; any prior can then be laid over it.

use crate::grid::Spread;
use crate::math::ln;
use crate::prior::Node;
use crate::two_by_two::{Pair, Symmetric};

/// How single balls scatter about their day's line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Errors {
    /// Normal.
    Normal,
    /// Student t with four degrees of freedom: now and then one goes far astray.
    Student,
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
    pub(crate) precision: Symmetric,
    pub(crate) pull: Pair,
}

/// Level and slope as strikes and prior together have them.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Line {
    pub(crate) mean: Pair,
    pub(crate) covariance: Symmetric,
    /// Logarithm of the likelihood, level and slope integrated out.
    pub(crate) ln_evidence: f64,
}

impl Given {
    /// Lays a prior over it.
    pub(crate) fn under(&self, prior: &Node) -> Line {
        let precision = prior.precision + self.precision;
        let determinant = precision.determinant();
        let covariance =
            Symmetric::new(precision.slope, -precision.both, precision.level).scaled(1.0 / determinant);
        let mean = covariance.times(self.pull);
        let ln_evidence =
            self.ln_constant + 0.5 * (mean.dot(self.pull) - ln(determinant) + prior.ln_determinant);
        Line { mean, covariance, ln_evidence }
    }
}
