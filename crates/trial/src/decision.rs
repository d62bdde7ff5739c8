//! The decision: whether a length other than the rule's is worth changing to, in eighths of an inch.
//!
//! The model is a line, so between the lengths tried it is as good as at them, and a bench cuts to an eighth. A change
//! is advised when its expected gain over the rule's length reaches what is near enough; odds are printed beside it and
//! do not decide.

use crate::answer::{Answer, NEAR_ENOUGH_MM2, ends};
use crate::cost::Cost;
use crate::draws::Draw;
use crate::posterior::{Moments, Posterior};
use crate::strike::{Axis, Strikes};

/// Balls below which nothing is said. Assumption of the method.
pub const FEWEST_BALLS: usize = 12;
/// Sum over days of the squares of lengths about the day's mean below which nothing is said, in². Assumption.
pub const LEAST_SPREAD_OF_LENGTHS: f64 = 0.5;
/// Odds from which a length counts as near enough to the best.
const SURE_ENOUGH: f64 = 0.80;

/// The five kinds of answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A length other than the rule's, from two days or more.
    Change,
    /// The same from one day: another day decides.
    Leaning,
    /// Length makes no material difference: the rule's length stays.
    KeepRule,
    /// The lengths cannot be told apart yet: the rule's length stays meanwhile.
    NotToldApart,
    /// Not enough to say anything.
    CannotSay,
}

/// What is missing for an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Missing {
    /// Too few balls.
    Balls {
        /// How many there are.
        have: usize,
        /// How many it takes.
        need: usize,
    },
    /// All balls of each day were hit with much the same length.
    Lengths,
    /// No day has ten balls and lengths far enough apart.
    Day,
}

/// The decision with its odds.
#[derive(Debug, Clone)]
pub struct Decision {
    /// Which kind of answer.
    pub kind: Kind,
    /// What is missing, when nothing can be said.
    pub missing: Option<Missing>,
    /// The length advised, as an offset from the rule's, in eighths of an inch; 0 keeps the rule's.
    pub length_in: f64,
    /// The eighth of least expected cost among the lengths between those tried.
    pub best_eighth_in: f64,
    /// What the best eighth is expected to gain over the rule's length, in the cost's unit.
    pub gain: f64,
    /// The same by axis, mm²: heel to toe, and low to high. Only for squared distances.
    pub gain_by_axis: Option<[f64; 2]>,
    /// What is at stake: how much less the right length would cost on average than the rule's, in the cost's unit.
    pub at_stake: f64,
    /// Odds that the best eighth costs less than the rule's length.
    pub odds_better: f64,
    /// Odds that it costs less by more than what is near enough.
    pub odds_clearly_better: f64,
    /// Odds that it costs more by more than what is near enough.
    pub odds_clearly_worse: f64,
    /// Odds that the length that fits lies within an eighth of it.
    pub odds_within_eighth: f64,
    /// Odds that the rule's length is the best, or too near the best to matter.
    pub odds_rule_near_best: f64,
    /// Whether the lengths tried are settled: no further visit is needed.
    pub is_settled: bool,
}

/// How a trial is judged.
#[derive(Debug, Clone)]
pub struct Judging {
    /// What a strike off the sweet spot costs.
    pub cost: Cost,
    /// A difference in cost too small to matter, in its unit.
    pub near_enough: f64,
    /// How well the place of the sweet spot is known along each axis, mm.
    pub sweet_spot_sd: [f64; 2],
}

impl Default for Judging {
    fn default() -> Self {
        Self { cost: Cost::default(), near_enough: NEAR_ENOUGH_MM2, sweet_spot_sd: [1.0, 1.0] }
    }
}

/// Says what is missing for an answer.
#[must_use]
pub fn missing(strikes: &Strikes) -> Option<Missing> {
    if strikes.balls() < FEWEST_BALLS {
        return Some(Missing::Balls { have: strikes.balls(), need: FEWEST_BALLS });
    }
    let spread: f64 = strikes.days().iter().map(crate::strike::Day::spread_of_lengths).sum();
    if spread < LEAST_SPREAD_OF_LENGTHS - 1e-9 {
        return Some(Missing::Lengths);
    }
    (strikes.counted_days() == 0).then_some(Missing::Day)
}

/// Decides.
#[must_use]
pub fn decide(strikes: &Strikes, posterior: &Posterior, judging: &Judging) -> (Decision, Answer) {
    let offsets = strikes.offsets_in();
    let answer = Answer::of(posterior, offsets, &judging.cost, judging.near_enough, judging.sweet_spot_sd);
    let cost = judging.cost.averaged(posterior);
    let expected = Expected {
        moments: Axis::BOTH.map(|axis| posterior.moments(axis)),
        cost: &cost,
        draws: &answer.draws,
    };
    let best_eighth_in = expected.best_eighth(offsets);
    let gain = expected.at(0.0) - expected.at(best_eighth_in);
    let all = crate::strike::count(answer.draws.len()).max(1.0);
    let [mut better, mut clearly_better, mut clearly_worse, mut rule_near_best] = [0_u32; 4];
    for (draw, lowest) in answer.draws.iter().zip(&answer.lowest_cost) {
        let of_rule = cost.of(draw, 0.0);
        let difference = of_rule - cost.of(draw, best_eighth_in);
        better += u32::from(difference > 0.0);
        clearly_better += u32::from(difference > judging.near_enough);
        clearly_worse += u32::from(difference < -judging.near_enough);
        rule_near_best += u32::from(of_rule - lowest <= judging.near_enough);
    }
    let share = |draws: u32| f64::from(draws) / all;
    let odds_rule_near_best = share(rule_near_best);
    let missing = missing(strikes);
    let is_gain = gain >= judging.near_enough;
    let has_days = strikes.counted_days() >= 2;
    let kind = match (missing, is_gain, has_days) {
        (Some(_), ..) => Kind::CannotSay,
        (None, true, true) => Kind::Change,
        (None, true, false) => Kind::Leaning,
        (None, false, true) if odds_rule_near_best >= SURE_ENOUGH => Kind::KeepRule,
        (None, false, _) => Kind::NotToldApart,
    };
    let most_near = answer.odds_near_best_at(answer.choice_in).unwrap_or(0.0);
    let decision = Decision {
        kind,
        missing,
        length_in: if matches!(kind, Kind::Change | Kind::Leaning) { best_eighth_in } else { 0.0 },
        best_eighth_in,
        gain,
        gain_by_axis: match judging.cost {
            Cost::Squares { toe, high } => Some([
                toe * (expected.moments[0].square_at(0.0) - expected.moments[0].square_at(best_eighth_in)),
                high * (expected.moments[1].square_at(0.0) - expected.moments[1].square_at(best_eighth_in)),
            ]),
            Cost::Surface(_) => None,
        },
        at_stake: at_stake(&answer, &cost),
        odds_better: share(better),
        odds_clearly_better: share(clearly_better),
        odds_clearly_worse: share(clearly_worse),
        odds_within_eighth: answer.odds_within(best_eighth_in, 0.125),
        odds_rule_near_best,
        is_settled: missing.is_none() && has_days && most_near >= SURE_ENOUGH,
    };
    (decision, answer)
}

/// Mean over draws of what the rule's length costs over the length that fits.
fn at_stake(answer: &Answer, cost: &Cost) -> f64 {
    let over =
        answer.draws.iter().zip(&answer.fit_in).map(|(draw, fit)| cost.of(draw, 0.0) - cost.of(draw, *fit));
    over.sum::<f64>() / crate::strike::count(answer.draws.len()).max(1.0)
}

/// Expected cost of any length: exact for squared distances, from draws for a table.
struct Expected<'a> {
    moments: [Moments; 2],
    cost: &'a Cost,
    draws: &'a [Draw],
}

impl Expected<'_> {
    fn at(&self, offset_in: f64) -> f64 {
        match self.cost {
            Cost::Squares { toe, high } => {
                toe * self.moments[0].square_at(offset_in) + high * self.moments[1].square_at(offset_in)
            }
            Cost::Surface(_) => {
                let sum: f64 = self.draws.iter().map(|draw| self.cost.of(draw, offset_in)).sum();
                sum / crate::strike::count(self.draws.len()).max(1.0)
            }
        }
    }

    fn best_eighth(&self, offsets_in: &[f64]) -> f64 {
        let costs = eighths(offsets_in).into_iter().map(|eighth| (eighth, self.at(eighth)));
        costs.min_by(|one, other| one.1.total_cmp(&other.1)).map_or(0.0, |(eighth, _)| eighth)
    }
}

/// The eighths of an inch between the lengths tried, nearest the rule's first.
pub(crate) fn eighths(offsets_in: &[f64]) -> Vec<f64> {
    let (least, most) = ends(offsets_in);
    let mut eighths: Vec<f64> = (-12..=12)
        .map(|eighth| f64::from(eighth) / 8.0)
        .filter(|eighth| (least - 1e-9..=most + 1e-9).contains(eighth))
        .collect();
    if eighths.is_empty() {
        eighths.push(least);
    }
    eighths.sort_by(|one, other| one.abs().total_cmp(&other.abs()).then(one.total_cmp(other)));
    eighths
}
