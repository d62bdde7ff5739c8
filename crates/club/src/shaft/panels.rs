//! Integration along a shaft: Gauss–Legendre nodes on panels that end wherever the profile has a kink.
//!
//! Beside plain integrals a panel gives running ones: the integral up to each node of the polynomial through the values
//! at the nodes.

use std::f64::consts::PI;
use std::sync::LazyLock;

/// Nodes of one panel.
pub(super) const NODES: usize = 10;
/// Panels a span is cut into at least: half a wave of the third mode then lies on about one.
const LEAST_PANELS: f64 = 4.0;

/// The rule on the interval from -1 to 1. Definition.
struct Rule {
    places: [f64; NODES],
    weights: [f64; NODES],
    /// Row by row the weights of the running integral up to a node.
    running: [[f64; NODES]; NODES],
}

static RULE: LazyLock<Rule> = LazyLock::new(Rule::new);

/// Fills `values` with the Legendre polynomials of degree 0, 1, … at `x`.
pub(super) fn legendre(x: f64, values: &mut [f64]) {
    let (mut before, mut current) = (0.0, 1.0);
    let mut degree = 0.0;
    for value in values {
        *value = current;
        let next = ((2.0 * degree + 1.0) * x * current - degree * before) / (degree + 1.0);
        (before, current) = (current, next);
        degree += 1.0;
    }
}

impl Rule {
    fn new() -> Self {
        let mut rule = Self { places: [0.0; NODES], weights: [0.0; NODES], running: [[0.0; NODES]; NODES] };
        let degree = NODES as f64;
        let mut values = [0.0; NODES + 1];
        for node in 0..NODES {
            // Chebyshev's place is near enough for Newton to settle within a few steps
            let mut x = -(PI * (node as f64 + 0.75) / (degree + 0.5)).cos();
            let mut slope = 0.0;
            for _ in 0..8 {
                legendre(x, &mut values);
                slope = degree * (x * values[NODES] - values[NODES - 1]) / (x * x - 1.0);
                x -= values[NODES] / slope;
            }
            rule.places[node] = x;
            rule.weights[node] = 2.0 / ((1.0 - x * x) * slope * slope);
        }
        rule.running = Self::running(&rule.places, &rule.weights);
        rule
    }

    /// The polynomial that is one at node j and nought at the others is `Σ (k + 1/2) w_j P_k(x_j) P_k`; and `P_k`
    /// integrates to `(P_(k+1) − P_(k−1)) / (2k + 1)`.
    fn running(places: &[f64; NODES], weights: &[f64; NODES]) -> [[f64; NODES]; NODES] {
        let mut at_nodes = [[0.0; NODES + 1]; NODES];
        for (values, x) in at_nodes.iter_mut().zip(places) {
            legendre(*x, values);
        }
        std::array::from_fn(|upto| {
            std::array::from_fn(|node| {
                let terms = (1..NODES)
                    .map(|k| at_nodes[node][k] * (at_nodes[upto][k + 1] - at_nodes[upto][k - 1]) / 2.0);
                weights[node] * ((places[upto] + 1.0) / 2.0 + terms.sum::<f64>())
            })
        })
    }
}

/// A piece of the span on which the profile is smooth, as shares of the span.
#[derive(Debug, Clone, Copy)]
pub(super) struct Panel {
    from: f64,
    half: f64,
}

impl Panel {
    /// Cuts the span from 0 to 1 at `kinks` and into at least [`LEAST_PANELS`] pieces.
    pub(super) fn cut(kinks: impl Iterator<Item = f64>) -> Vec<Self> {
        let mut panels = Vec::new();
        let mut from = 0.0;
        for to in kinks.chain([1.0]) {
            let pieces = ((to - from) * LEAST_PANELS).ceil().max(1.0);
            let width = (to - from) / pieces;
            let mut piece = 0.0;
            while piece < pieces {
                panels.push(Self { from: from + width * piece, half: width / 2.0 });
                piece += 1.0;
            }
            from = to;
        }
        panels
    }

    /// Returns each node's place and weight.
    pub(super) fn nodes(self) -> [(f64, f64); NODES] {
        let rule = &*RULE;
        std::array::from_fn(|node| {
            (self.from + self.half * (rule.places[node] + 1.0), self.half * rule.weights[node])
        })
    }

    /// Returns the integral of `values` from the panel's start up to each node.
    pub(super) fn running(self, values: &[f64; NODES]) -> [f64; NODES] {
        let rule = &*RULE;
        std::array::from_fn(|upto| {
            let row = &rule.running[upto];
            self.half * row.iter().zip(values).map(|(weight, value)| weight * value).sum::<f64>()
        })
    }

    /// Returns the integral of `values` over the whole panel.
    pub(super) fn whole(self, values: &[f64; NODES]) -> f64 {
        let rule = &*RULE;
        self.half * rule.weights.iter().zip(values).map(|(weight, value)| weight * value).sum::<f64>()
    }
}

#[cfg(test)]
mod tests {
    use super::{NODES, Panel};

    #[test]
    fn panels_end_at_kinks_and_none_is_longer_than_a_quarter() {
        let panels = Panel::cut([0.1, 0.7].into_iter());
        let ends: Vec<f64> = panels.iter().map(|panel| panel.from + 2.0 * panel.half).collect();
        assert!(ends.iter().any(|end| (end - 0.1).abs() < 1e-15));
        assert!(ends.iter().any(|end| (end - 0.7).abs() < 1e-15));
        assert!(panels.iter().all(|panel| 2.0 * panel.half <= 0.25 + 1e-15));
        assert!((panels.iter().map(|panel| 2.0 * panel.half).sum::<f64>() - 1.0).abs() < 1e-15);
    }

    #[test]
    fn integrals_of_polynomials_are_exact() {
        for panel in Panel::cut([0.3].into_iter()) {
            let nodes = panel.nodes();
            let values: [f64; NODES] = std::array::from_fn(|node| nodes[node].0.powi(9));
            let running = panel.running(&values);
            let end = panel.from + 2.0 * panel.half;
            for node in 0..NODES {
                let exact = (nodes[node].0.powi(10) - panel.from.powi(10)) / 10.0;
                assert!((running[node] - exact).abs() < 1e-15, "{}", running[node] - exact);
            }
            assert!((panel.whole(&values) - (end.powi(10) - panel.from.powi(10)) / 10.0).abs() < 1e-15);
        }
    }
}
