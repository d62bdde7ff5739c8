//! Level and slope of both axes after the trial, under one belief about the length that fits.

use crate::evidence::{Errors, Given, Line};
use crate::grid::Spread;
use crate::line::along;
use crate::math::{exp, ln, log_sum_exp};
use crate::prior::LengthBelief;
use crate::strike::{Axis, Strikes};
use crate::two_by_two::{Pair, Symmetric};
use crate::{normal, student};

/// What the strikes say of both axes, before any belief about length. It is worked out once.
#[derive(Debug, Clone)]
pub struct Evidence {
    axes: [AxisEvidence; 2],
}

#[derive(Debug, Clone)]
struct AxisEvidence {
    normal: Vec<Given>,
    /// Nothing below twelve balls.
    student: Vec<Given>,
}

/// Which errors a posterior rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Model {
    /// Normal errors only.
    Normal,
    /// Student errors only.
    Student,
    /// Both, each with even odds before the trial, weighed by how well they tell the strikes.
    Mixture,
}

impl Evidence {
    /// Works through the strikes with normal errors only.
    #[must_use]
    pub fn with_normal_errors(strikes: &Strikes) -> Self {
        Self {
            axes: Axis::BOTH.map(|axis| AxisEvidence {
                normal: normal::evidence(&along(strikes, axis)),
                student: Vec::new(),
            }),
        }
    }

    /// Works through the strikes, with Student errors too where there are balls enough.
    #[must_use]
    pub fn of(strikes: &Strikes) -> Self {
        let mut evidence = Self::with_normal_errors(strikes);
        if strikes.balls() >= student::FEWEST_BALLS {
            for (axis, of_axis) in Axis::BOTH.into_iter().zip(&mut evidence.axes) {
                of_axis.student = student::evidence(&along(strikes, axis));
            }
        }
        evidence
    }

    /// Whether there were balls enough for Student errors.
    #[must_use]
    pub fn has_student(&self) -> bool {
        self.axes.iter().all(|axis| !axis.student.is_empty())
    }

    /// How much better Student errors tell the strikes than normal ones, as the logarithm of the ratio, by axis.
    #[must_use]
    pub fn student_over_normal(&self) -> Option<[f64; 2]> {
        if !self.has_student() {
            return None;
        }
        let node = LengthBelief::NoRule.nodes()[0];
        let of = |given: &[Given]| {
            log_sum_exp(
                &given
                    .iter()
                    .map(|point| point.ln_weight + point.under(&node).ln_evidence)
                    .collect::<Vec<_>>(),
            )
        };
        Some([0, 1].map(|axis| of(&self.axes[axis].student) - of(&self.axes[axis].normal)))
    }

    /// Lays a belief about length over the strikes.
    #[must_use]
    pub fn under(&self, belief: LengthBelief, model: Model) -> Posterior {
        let of_node: Vec<(f64, [AxisPosterior; 2])> = belief
            .nodes()
            .iter()
            .map(|node| {
                let axes = [0, 1].map(|axis| AxisPosterior::new(&self.axes[axis].parts(model), node));
                (node.ln_weight + axes[0].ln_evidence + axes[1].ln_evidence, axes)
            })
            .collect();
        let ln_evidence = log_sum_exp(&of_node.iter().map(|(log, _)| *log).collect::<Vec<_>>());
        let nodes = of_node.into_iter().map(|(log, axes)| (exp(log - ln_evidence), axes)).collect();
        Posterior { nodes, ln_evidence }
    }
}

impl AxisEvidence {
    /// The lists of a model, with the logarithm of the odds each has before the trial.
    fn parts(&self, model: Model) -> Vec<(f64, &[Given])> {
        let (normal, student) = (self.normal.as_slice(), self.student.as_slice());
        match model {
            Model::Normal => vec![(0.0, normal)],
            Model::Student => vec![(0.0, student)],
            Model::Mixture if student.is_empty() => vec![(0.0, normal)],
            Model::Mixture => vec![(-std::f64::consts::LN_2, normal), (-std::f64::consts::LN_2, student)],
        }
    }
}

/// Level and slope of one axis: a mixture of normal lines, one for each point of the grid.
#[derive(Debug, Clone)]
pub(crate) struct AxisPosterior {
    pub(crate) lines: Vec<(f64, Line)>,
    spreads: Vec<(Spread, Errors)>,
    ln_evidence: f64,
}

impl AxisPosterior {
    fn new(parts: &[(f64, &[Given])], node: &crate::prior::Node) -> Self {
        let count = parts.iter().map(|(_, given)| given.len()).sum();
        let (mut lines, mut spreads) = (Vec::with_capacity(count), Vec::with_capacity(count));
        let mut most = f64::NEG_INFINITY;
        for (odds, given) in parts {
            for point in *given {
                let line = point.under(node);
                let log = odds + point.ln_weight + line.ln_evidence;
                most = most.max(log);
                lines.push((log, line));
                spreads.push((point.spread, point.errors));
            }
        }
        let mut sum = 0.0;
        for (weight, _) in &mut lines {
            *weight = exp(*weight - most);
            sum += *weight;
        }
        for (weight, _) in &mut lines {
            *weight /= sum;
        }
        let ln_evidence = most + ln(sum);
        Self { lines, spreads, ln_evidence }
    }

    /// Scatter and restlessness of a part.
    pub(crate) fn spread(&self, part: usize) -> Spread {
        self.spreads[part].0
    }
}

/// Both axes after the trial.
#[derive(Debug, Clone)]
pub struct Posterior {
    /// For each length that may fit: its odds and both axes given it.
    pub(crate) nodes: Vec<(f64, [AxisPosterior; 2])>,
    ln_evidence: f64,
}

/// Mean and mean square of level and slope along one axis.
#[derive(Debug, Clone, Copy, Default)]
pub struct Moments {
    /// Means: mm, and mm per inch.
    pub mean: Pair,
    /// Means of squares and of the product.
    pub square: Symmetric,
}

impl Moments {
    /// Expected square of the place at an offset, mm².
    #[must_use]
    pub fn square_at(&self, offset_in: f64) -> f64 {
        self.square.level + offset_in * (2.0 * self.square.both + offset_in * self.square.slope)
    }

    /// How sure mean and slope are.
    #[must_use]
    pub fn covariance(&self) -> Symmetric {
        self.square - Symmetric::square_of(self.mean)
    }
}

impl Posterior {
    /// Logarithm of the probability of these strikes under this belief.
    #[must_use]
    pub fn ln_evidence(&self) -> f64 {
        self.ln_evidence
    }

    /// Exact moments of level and slope along one axis.
    #[must_use]
    pub fn moments(&self, axis: Axis) -> Moments {
        let mut moments = Moments::default();
        for (of_node, axes) in &self.nodes {
            for (weight, line) in &axes[place_of(axis)].lines {
                let weight = of_node * weight;
                moments.mean = moments.mean + line.mean.scaled(weight);
                moments.square =
                    moments.square + (line.covariance + Symmetric::square_of(line.mean)).scaled(weight);
            }
        }
        moments
    }

    /// Scatter and restlessness along one axis with their odds, every point of the grid once for each error model.
    #[must_use]
    pub fn spreads(&self, axis: Axis) -> Vec<(f64, Spread)> {
        let place = place_of(axis);
        let Some((_, first)) = self.nodes.first() else { return Vec::new() };
        let mut odds: Vec<(f64, Spread)> =
            first[place].spreads.iter().map(|(spread, _)| (0.0, *spread)).collect();
        for (of_node, axes) in &self.nodes {
            for ((sum, _), (weight, _)) in odds.iter_mut().zip(&axes[place].lines) {
                *sum += of_node * weight;
            }
        }
        odds
    }

    /// Mean of a function of scatter and restlessness along one axis.
    #[must_use]
    pub fn mean_of_spread(&self, axis: Axis, of: impl Fn(&Spread) -> f64) -> f64 {
        self.spreads(axis).iter().map(|(odds, spread)| odds * of(spread)).sum()
    }

    /// Mean standard deviation of a single ball along one axis, mm: a Student t of scale s has sqrt(2)·s.
    #[must_use]
    pub fn ball_sd(&self, axis: Axis) -> f64 {
        let place = place_of(axis);
        self.nodes
            .iter()
            .flat_map(|(of_node, axes)| {
                let axis = &axes[place];
                axis.lines.iter().zip(&axis.spreads).map(move |((weight, _), (spread, errors))| {
                    let widened = if *errors == Errors::Student { std::f64::consts::SQRT_2 } else { 1.0 };
                    of_node * weight * spread.scatter * widened
                })
            })
            .sum()
    }

    /// Odds that a day's level shifts by more than `mm` along one axis (as a standard deviation).
    #[must_use]
    pub fn odds_of_restless_days(&self, axis: Axis, mm: f64) -> f64 {
        self.mean_of_spread(axis, |spread| if spread.day_level > mm { 1.0 } else { 0.0 })
    }
}

/// Draws for readings of one kind, without any belief about length: both axes alike, of which the first is read.
pub(crate) fn draws_of_one_axis(days: &[crate::line::AxisDay]) -> Vec<crate::draws::Draw> {
    let axis = AxisEvidence { normal: normal::evidence(days), student: Vec::new() };
    let evidence = Evidence { axes: [axis.clone(), axis] };
    crate::draws::draws(&evidence.under(LengthBelief::NoRule, Model::Normal), [0.0, 0.0])
}

pub(crate) fn place_of(axis: Axis) -> usize {
    match axis {
        Axis::Toe => 0,
        Axis::High => 1,
    }
}

/// The quantile of values with odds, read between the middles of their odds.
#[must_use]
pub fn quantile_of_weighted(values: &mut [(f64, f64)], p: f64) -> f64 {
    values.sort_by(|one, other| one.1.total_cmp(&other.1));
    let mut merged: Vec<(f64, f64)> = Vec::new();
    for (odds, value) in values.iter() {
        match merged.last_mut() {
            Some((sum, last)) if last.to_bits() == value.to_bits() => *sum += odds,
            _ => merged.push((*odds, *value)),
        }
    }
    let (mut below, mut last) = (0.0, None);
    for (odds, value) in merged {
        let middle = below + 0.5 * odds;
        if middle >= p {
            let Some((at, from)) = last else { return value };
            return from + (value - from) * (p - at) / (middle - at);
        }
        below += odds;
        last = Some((middle, value));
    }
    last.map_or(f64::NAN, |(_, value)| value)
}
