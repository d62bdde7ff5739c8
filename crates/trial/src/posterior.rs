//! Level and slope of both axes after the trial, under one belief about the length that fits.

use crate::evidence::{Errors, Given, GivenLine, Line};
use crate::grid::Spread;
use crate::line::along;
use crate::math::{exp, exp_not_above_zero, ln, log_sum_exp};
use crate::prior::{LengthBelief, Node};
use crate::strike::{Axis, Strikes};
use crate::two_by_two::{Factor, Pair, Symmetric};
use crate::{normal, student};
use std::sync::Arc;

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
        let of = |given: &[Given]| Arc::new(AxisGrid::new(&[(0.0, given)])).under(node).ln_evidence;
        Some([0, 1].map(|axis| of(&self.axes[axis].student) - of(&self.axes[axis].normal)))
    }

    /// Lays a belief about length over the strikes.
    #[must_use]
    pub fn under(&self, belief: LengthBelief, model: Model) -> Posterior {
        let grids = [0, 1].map(|axis: usize| Arc::new(AxisGrid::new(&self.axes[axis].parts(model))));
        let of_node: Vec<(f64, [AxisPosterior; 2])> = belief
            .nodes()
            .iter()
            .map(|node| {
                let axes = grids.each_ref().map(|axis| axis.under(*node));
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
    /// Odds of each point, in the order of the grid.
    pub(crate) odds: Vec<f64>,
    moments: Moments,
    prior: Node,
    /// The grid, shared by all lengths that may fit.
    grid: Arc<AxisGrid>,
    ln_evidence: f64,
}

/// Where a point of the grid lies.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Point {
    pub(crate) spread: Spread,
    pub(crate) errors: Errors,
}

/// What is needed of one axis under one model, whatever the belief. Lines are not kept for each belief: they are quickly
/// found again, and all of them together would be a megabyte.
#[derive(Debug)]
struct AxisGrid {
    points: Vec<Point>,
    given: Vec<GivenLine>,
    /// The logarithm of weight and evidence, but for what the line adds; and what both together cannot exceed.
    logs: Vec<(f64, f64)>,
}

impl AxisGrid {
    fn new(lists: &[(f64, &[Given])]) -> Self {
        let given = || lists.iter().flat_map(|(odds, list)| list.iter().map(move |given| (*odds, given)));
        Self {
            points: given().map(|(_, given)| Point { spread: given.spread, errors: given.errors }).collect(),
            given: given().map(|(_, given)| given.line).collect(),
            logs: given()
                .map(|(odds, given)| {
                    let log = odds + given.ln_weight + given.ln_constant;
                    (log, log + given.line.most_evidence())
                })
                .collect(),
        }
    }

    /// Lays a prior over it. Points that cannot reach 1e-12 of the best are passed over.
    fn under(self: &Arc<Self>, prior: Node) -> AxisPosterior {
        /// `ln(1e-12)`. Assumption: a thousand such points together are still far below the grid's own error.
        const NEGLIGIBLE: f64 = -27.631;
        let mut odds = vec![0.0; self.given.len()];
        let mut moments = Moments::default();
        let top = (0..self.logs.len()).max_by(|one, other| self.logs[*one].1.total_cmp(&self.logs[*other].1));
        let Some(top) = top else {
            return AxisPosterior { odds, moments, prior, grid: Arc::clone(self), ln_evidence: 0.0 };
        };
        let under = self.given[top].under(&prior);
        let floor = self.logs[top].0 + under.ln_exponent + ln(under.root);
        let mut sum = 0.0;
        for ((slot, given), (log, most)) in odds.iter_mut().zip(&self.given).zip(&self.logs) {
            if *most < floor + NEGLIGIBLE {
                continue;
            }
            let under = given.under(&prior);
            // a root in place of half a logarithm: the same weight, sooner
            let weight = exp_not_above_zero(log + under.ln_exponent - floor) * under.root;
            *slot = weight;
            sum += weight;
            let Line { mean, covariance } = under.line;
            moments.mean = moments.mean + mean.scaled(weight);
            moments.square = moments.square + (covariance + Symmetric::square_of(mean)).scaled(weight);
        }
        let one = 1.0 / sum;
        odds.iter_mut().for_each(|odds| *odds *= one);
        let moments = Moments { mean: moments.mean.scaled(one), square: moments.square.scaled(one) };
        AxisPosterior { odds, moments, prior, grid: Arc::clone(self), ln_evidence: floor + ln(sum) }
    }
}

impl AxisPosterior {
    /// Where a point lies in the grid.
    pub(crate) fn point(&self, place: usize) -> &Point {
        &self.grid.points[place]
    }

    /// Level and slope at a point of the grid: the mean, and the lower factor of the covariance.
    #[inline]
    pub(crate) fn line(&self, place: usize) -> (Pair, Factor) {
        self.grid.given[place].drawn_under(&self.prior)
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
            let of_axis = &axes[place_of(axis)].moments;
            moments.mean = moments.mean + of_axis.mean.scaled(*of_node);
            moments.square = moments.square + of_axis.square.scaled(*of_node);
        }
        moments
    }

    /// Scatter and restlessness along one axis with their odds, every point of the grid once for each error model.
    #[must_use]
    pub fn spreads(&self, axis: Axis) -> Vec<(f64, Spread)> {
        let place = place_of(axis);
        let Some((_, first)) = self.nodes.first() else { return Vec::new() };
        let points = &first[place].grid.points;
        let mut odds: Vec<(f64, Spread)> = points.iter().map(|point| (0.0, point.spread)).collect();
        for (of_node, axes) in &self.nodes {
            for ((sum, _), of_point) in odds.iter_mut().zip(&axes[place].odds) {
                *sum += of_node * of_point;
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
                axis.odds.iter().zip(&axis.grid.points).map(move |(odds, point)| {
                    let widened =
                        if point.errors == Errors::Student { std::f64::consts::SQRT_2 } else { 1.0 };
                    of_node * odds * point.spread.scatter * widened
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
