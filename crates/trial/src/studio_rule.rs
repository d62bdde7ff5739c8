//! What a studio's golfers say of the length rule together: is it off, does it rise too slowly with the knuckles, and
//! how far do golfers lie about it?
//!
//! Length that fits − rule's length = intercept error + slope error · (knuckle height − anchor) + what is the golfer's
//! own, normal with the spread as standard deviation; longer positive, inches. Spread and habit are learnt with the
//! errors: a habit held too large reads as golfers who are all alike. Assumes that the golfers tried are like those who
//! will come, and that the sweet spot is marked where it is: an error common to all heads reads as a wrong rule
//! (`docs/derivations/studio-rule.md`). Nothing here changes a rule; that is for whoever owns it to say.

use crate::TrialError;
use crate::many_golfers::{Profiles, Settled, Spread};
use crate::math::{exp, ln, ln_normal};
use crate::normal_mixture::quantile_of_normals;
use crate::posterior::quantile_of_weighted;
use crate::prior::{LEAST_SPREAD_IN, LengthBelief};
use crate::profile::{HABIT_SDS_MM, Profile};
use crate::strike::count;
use crate::two_by_two::{Pair, Symmetric};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Standard deviation of the error of the rule's intercept before any golfer, in. Assumption of the method.
pub const INTERCEPT_SD_IN: f64 = 0.25;
/// Standard deviation of the error of the rule's slope before any golfer, in of length per in of knuckle height.
/// Assumption of the method.
pub const SLOPE_ERROR_SD: f64 = 0.10;
/// Scale of the half-normal of golfers' spread about the rule before any golfer, in. Assumption of the method.
pub const SPREAD_SCALE_IN: f64 = 0.35;
/// Fewest golfers whose strikes say something of length before the rule may be doubted aloud. Assumption of the method:
/// with 25 the intercept is known to 0.1 in only, as much as most rules are off.
pub const FEWEST_GOLFERS: usize = 100;
/// Farthest knuckles stand from the rule's anchor, in. Beyond it the number is in another unit.
pub const FARTHEST_KNUCKLE_IN: f64 = 12.0;

/// Least and greatest spread considered, in. Choice of the method: below a thirty-third of an inch golfers are alike
/// for every purpose of a bench.
const SPREADS_IN: (f64, f64) = (0.03, 1.0);
/// How many spreads, each the same multiple of the one before. Choice of the method.
const SPREADS: usize = 22;
/// The spread where the search begins: about 0.25 in.
const USUAL_SPREAD: usize = 13;
/// Steps between two spreads when the evidence is interpolated. Choice of the method: 1 % each.
const SPREAD_STEPS: usize = 16;
/// Steps in a millimetre of habit when the evidence is interpolated. Choice of the method.
const HABIT_STEPS: usize = 20;
/// Habits and spreads whose log evidence lies farther below the best are left out. Choice of the method: one in a
/// million.
const NEGLIGIBLE_LN: f64 = 14.0;

/// Why a golfer went through the trial.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyTried {
    /// The rule's length seemed not to suit.
    Doubtful,
    /// The golfer asked for it.
    Asked,
    /// The studio tries whoever comes.
    Everyone,
    /// Nobody said.
    NotSaid,
}

impl WhyTried {
    /// All, in the order in which they are counted.
    pub const ALL: [Self; 4] = [Self::Doubtful, Self::Asked, Self::Everyone, Self::NotSaid];
}

/// A golfer who was tried.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// What the strikes say.
    pub profile: Profile,
    /// How far the knuckles stand above the height at which the rule is anchored, in.
    pub knuckle_above_anchor_in: f64,
    /// Why.
    pub why: WhyTried,
}

/// A number that was learnt: its mean, standard deviation and the interval that holds it 80 times in 100.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Learnt {
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
    /// Undercut once in ten.
    pub low: f64,
    /// Exceeded once in ten.
    pub high: f64,
}

/// What the golfers say of the rule.
#[derive(Debug, Clone, PartialEq)]
pub struct StudioRule {
    /// Error of the rule at its anchor, in: positive when golfers suit longer clubs than it gives.
    pub intercept_in: Learnt,
    /// Error of the rule's slope, in of length per in of knuckle height.
    pub slope: Learnt,
    /// How the two go together, in.
    pub intercept_with_slope: f64,
    /// Standard deviation of golfers about the corrected rule, in.
    pub spread_in: Learnt,
    /// Standard deviation of habits of striking that have nothing to do with length, mm.
    pub habit_mm: Learnt,
    /// How many golfers there were.
    pub golfers: usize,
    /// How many of them have strikes that say something of length.
    pub telling: usize,
    /// How many for each reason, as in [`WhyTried::ALL`].
    pub by_reason: [usize; 4],
    /// Least and greatest knuckle height of those that tell, in above the anchor; nothing without any. Outside, the
    /// rule is stretched.
    pub knuckles_in: Option<(f64, f64)>,
}

impl StudioRule {
    /// Learns from golfers, in whatever order.
    ///
    /// Without any it gives back what was assumed.
    ///
    /// # Errors
    /// [`TrialError::BadSetting`] for a knuckle height that is not finite or more than 12 in from the anchor.
    pub fn learn(golfers: &[Tried]) -> Result<Self, TrialError> {
        for golfer in golfers {
            check(golfer.knuckle_above_anchor_in)?;
        }
        let telling: Vec<f64> = golfers
            .iter()
            .filter(|golfer| !golfer.profile.is_flat())
            .map(|golfer| golfer.knuckle_above_anchor_in)
            .collect();
        let knuckles_in = telling.iter().fold(None, |range: Option<(f64, f64)>, knuckle| {
            Some(range.map_or((*knuckle, *knuckle), |(low, high)| (low.min(*knuckle), high.max(*knuckle))))
        });
        let mixture = Mixture::of(&Surface::search(Profiles::new(golfers)));
        let (mean, covariance) = mixture.moments();
        let errors = |which: fn(Pair) -> f64, variance: f64, square: fn(Symmetric) -> f64| Learnt {
            mean: which(mean),
            sd: variance.sqrt(),
            low: mixture.quantile(0.1, which, square),
            high: mixture.quantile(0.9, which, square),
        };
        Ok(Self {
            intercept_in: errors(|pair| pair.level, covariance.level, |square| square.level),
            slope: errors(|pair| pair.slope, covariance.slope, |square| square.slope),
            intercept_with_slope: covariance.both,
            spread_in: learnt(mixture.spreads.clone()),
            habit_mm: learnt(mixture.habits.clone()),
            golfers: golfers.len(),
            telling: telling.len(),
            by_reason: WhyTried::ALL.map(|why| golfers.iter().filter(|golfer| golfer.why == why).count()),
            knuckles_in,
        })
    }

    /// Whether there are golfers enough to say anything of the rule.
    #[must_use]
    pub fn may_speak(&self) -> bool {
        self.telling >= FEWEST_GOLFERS
    }

    /// Whether more than half were tried because the rule's length seemed not to suit: then the errors are those of
    /// doubtful golfers, not of the rule, and whoever reads them is to be warned.
    #[must_use]
    pub fn is_mostly_doubtful(&self) -> bool {
        2 * self.by_reason[0] > self.golfers
    }

    /// The errors as a later golfer's trial takes them, for whoever has said that the learnt rule is to be used.
    ///
    /// # Errors
    /// [`TrialError::TooFewGolfers`] while it may not speak.
    pub fn errors(&self) -> Result<RuleErrors, TrialError> {
        if !self.may_speak() {
            return Err(TrialError::TooFewGolfers { found: self.telling, fewest: FEWEST_GOLFERS });
        }
        Ok(RuleErrors {
            intercept_in: self.intercept_in.mean,
            intercept_sd_in: self.intercept_in.sd,
            slope: self.slope.mean,
            slope_sd: self.slope.sd,
            intercept_with_slope: self.intercept_with_slope,
            spread_in: self.spread_in.mean.hypot(self.spread_in.sd),
        })
    }
}

/// What a studio's golfers let one expect of another golfer before any ball.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RuleErrors {
    /// Error of the rule at its anchor, in: positive when golfers suit longer clubs than it gives.
    pub intercept_in: f64,
    /// How sure that is, in.
    pub intercept_sd_in: f64,
    /// Error of the rule's slope, in of length per in of knuckle height.
    pub slope: f64,
    /// How sure that is.
    pub slope_sd: f64,
    /// How the two go together: their covariance, in.
    pub intercept_with_slope: f64,
    /// How far golfers lie from the corrected rule, in: root mean square.
    pub spread_in: f64,
}

impl RuleErrors {
    /// The belief about a golfer whose knuckles stand so far above the rule's anchor.
    ///
    /// A golfer whose own trial is among those learnt from counts twice; with a hundred golfers that is one in a
    /// hundred.
    ///
    /// # Errors
    /// [`TrialError::BadSetting`] for a knuckle height that cannot be meant, and for a belief beyond what a trial takes.
    pub fn belief(&self, knuckle_above_anchor_in: f64) -> Result<LengthBelief, TrialError> {
        check(knuckle_above_anchor_in)?;
        let z = knuckle_above_anchor_in;
        let of_rule = self.intercept_sd_in * self.intercept_sd_in
            + z * (2.0 * self.intercept_with_slope + z * self.slope_sd * self.slope_sd);
        let belief = LengthBelief::Rule {
            mean_in: self.intercept_in + self.slope * z,
            sd_in: (of_rule + self.spread_in * self.spread_in).sqrt().max(LEAST_SPREAD_IN),
        };
        belief.check()?;
        Ok(belief)
    }
}

fn check(knuckle_above_anchor_in: f64) -> Result<(), TrialError> {
    // a number that is none lies in no range
    if (-FARTHEST_KNUCKLE_IN..=FARTHEST_KNUCKLE_IN).contains(&knuckle_above_anchor_in) {
        return Ok(());
    }
    Err(TrialError::BadSetting {
        what: "the knuckle height above the rule's anchor",
        found: knuckle_above_anchor_in,
        expected: "-12 to 12 in",
    })
}

fn learnt(mut values: Vec<(f64, f64)>) -> Learnt {
    let mean: f64 = values.iter().map(|(odds, value)| odds * value).sum();
    let variance: f64 = values.iter().map(|(odds, value)| odds * (value - mean) * (value - mean)).sum();
    let (low, high) = (quantile_of_weighted(&mut values, 0.1), quantile_of_weighted(&mut values, 0.9));
    Learnt { mean, sd: variance.sqrt(), low, high }
}

/// A spread at a place between the least and the greatest, evenly in its logarithm.
fn spread_in(place: f64) -> f64 {
    SPREADS_IN.0 * exp(place / count(SPREADS - 1) * ln(SPREADS_IN.1 / SPREADS_IN.0))
}

/// Evidence and errors over habits and spreads, where they matter.
struct Surface {
    profiles: Profiles,
    spreads: Vec<Spread>,
    settled: [[Option<Settled>; SPREADS]; HABIT_SDS_MM.len()],
    /// First and last spread that matters, at least four in all.
    within: (usize, usize),
}

impl Surface {
    /// Climbs to the best spread of each habit and goes on both ways until nothing counts.
    fn search(profiles: Profiles) -> Self {
        let spreads = (0..SPREADS).map(|place| Spread::new(spread_in(count(place)))).collect();
        let mut surface = Self {
            profiles,
            spreads,
            settled: [[None; SPREADS]; HABIT_SDS_MM.len()],
            within: (0, SPREADS - 1),
        };
        let mut best = f64::NEG_INFINITY;
        let mut top = USUAL_SPREAD;
        for habit in 0..HABIT_SDS_MM.len() {
            top = surface.climb(habit, top);
            best = best.max(surface.ln(habit, top));
            for way in [Way::Down, Way::Up] {
                let mut place = top;
                while let Some(next) = way.from(place) {
                    place = next;
                    if surface.ln(habit, place) < best - NEGLIGIBLE_LN {
                        break;
                    }
                }
            }
        }
        let counts = |place: usize| {
            surface
                .settled
                .iter()
                .any(|row| row[place].is_some_and(|settled| settled.ln >= best - NEGLIGIBLE_LN))
        };
        let first = (0..SPREADS).find(|place| counts(*place)).unwrap_or(0).saturating_sub(1);
        let last = (0..SPREADS)
            .rfind(|place| counts(*place))
            .map_or(SPREADS - 1, |place| (place + 1).min(SPREADS - 1));
        let last = last.max((first + 3).min(SPREADS - 1));
        let first = first.min(last - 3);
        for habit in 0..HABIT_SDS_MM.len() {
            for place in first..=last {
                surface.ln(habit, place);
            }
        }
        surface.within = (first, last);
        surface
    }

    fn climb(&mut self, habit: usize, start: usize) -> usize {
        let mut top = start;
        for way in [Way::Down, Way::Up] {
            while let Some(next) = way.from(top) {
                if self.ln(habit, next) <= self.ln(habit, top) {
                    break;
                }
                top = next;
            }
        }
        top
    }

    /// Log evidence of a habit and spread, worked out once, from the nearest errors that are known.
    fn ln(&mut self, habit: usize, place: usize) -> f64 {
        if let Some(settled) = self.settled[habit][place] {
            return settled.ln;
        }
        let known =
            |habit: usize, place: usize| self.settled.get(habit)?.get(place)?.map(|settled| settled.mean);
        let start = known(habit, place + 1)
            .or_else(|| known(habit, place.checked_sub(1)?))
            .or_else(|| known(habit.checked_sub(1)?, place))
            .unwrap_or_default();
        let settled = self.profiles.settle(habit, &self.spreads[place], start);
        self.settled[habit][place] = Some(settled);
        settled.ln
    }
}

#[derive(Clone, Copy)]
enum Way {
    Down,
    Up,
}

impl Way {
    fn from(self, place: usize) -> Option<usize> {
        match self {
            Self::Down => place.checked_sub(1),
            Self::Up => Some(place + 1).filter(|next| *next < SPREADS),
        }
    }
}

/// Errors of the rule as a mixture over habits and spreads, these with their odds.
struct Mixture {
    /// Odds, mean and mean of squares of the errors, gathered over neighbouring habits and spreads.
    parts: Vec<(f64, Pair, Symmetric)>,
    spreads: Vec<(f64, f64)>,
    habits: Vec<(f64, f64)>,
}

/// Fine habits that make one part of the mixture.
const HABITS_A_PART: usize = 5;

impl Mixture {
    /// Interpolates log evidence, errors and their covariance: by cubics in the spread's logarithm, by the quartic
    /// through all five habits, and lays the priors over them.
    fn of(surface: &Surface) -> Self {
        let (first, last) = surface.within;
        let fine_habits = (HABIT_SDS_MM.len() - 1) * HABIT_STEPS;
        let habits: Vec<(f64, [f64; 5])> = (0..=fine_habits)
            .map(|step| count(step) / count(HABIT_STEPS))
            .map(|place| (HABIT_SDS_MM[0] + place, lagrange(place)))
            .collect();
        let mut fine = Vec::new();
        for step in 0..=(last - first) * SPREAD_STEPS {
            let place = count(step) / count(SPREAD_STEPS);
            let from = (step / SPREAD_STEPS).saturating_sub(1).min(last - first - 3);
            let weights: [f64; 4] = lagrange(place - count(from));
            let rows = surface.settled.map(|row| {
                interpolated(
                    &weights,
                    row[first + from..].iter().map(|settled| settled.map_or([0.0; 6], numbers)),
                )
            });
            let spread = spread_in(count(first) + place);
            let end = if step == 0 || step == (last - first) * SPREAD_STEPS { 0.5 } else { 1.0 };
            let ln_prior = ln_normal(spread, 0.0, SPREAD_SCALE_IN) + ln(spread * end);
            for (habit, weights) in &habits {
                let mut numbers = interpolated(weights, rows.into_iter());
                let end = (habit - HABIT_SDS_MM[0]).min(HABIT_SDS_MM[4] - habit) < 0.5 / count(HABIT_STEPS);
                numbers[0] += ln_prior - if end { std::f64::consts::LN_2 } else { 0.0 };
                fine.push((spread, *habit, numbers));
            }
        }
        let best = fine.iter().map(|(_, _, numbers)| numbers[0]).fold(f64::NEG_INFINITY, f64::max);
        let row = fine_habits + 1;
        let mut mixture = Self {
            parts: vec![Default::default(); (last - first + 1) * (row / HABITS_A_PART + 1)],
            spreads: fine.iter().step_by(row).map(|(spread, _, _)| (0.0, *spread)).collect(),
            habits: habits.iter().map(|(habit, _)| (0.0, *habit)).collect(),
        };
        for (place, (_, _, numbers)) in fine.iter().enumerate() {
            let odds = exp(numbers[0] - best);
            let (of_spread, of_habit) = (place / row, place % row);
            mixture.spreads[of_spread].0 += odds;
            mixture.habits[of_habit].0 += odds;
            let mean = Pair::new(numbers[1], numbers[2]);
            let square = Symmetric::new(numbers[3], numbers[4], numbers[5]) + Symmetric::square_of(mean);
            let part = of_spread / SPREAD_STEPS * (row / HABITS_A_PART + 1) + of_habit / HABITS_A_PART;
            let (sum, means, squares) = &mut mixture.parts[part];
            *sum += odds;
            *means = *means + mean.scaled(odds);
            *squares = *squares + square.scaled(odds);
        }
        mixture.normalised()
    }

    fn normalised(mut self) -> Self {
        let sum: f64 = self.parts.iter().map(|(odds, _, _)| odds).sum();
        // what is left out holds under a millionth of the odds, and may lie where interpolation means nothing
        self.parts.retain(|(odds, _, _)| *odds > sum * 1e-9);
        for (odds, mean, square) in &mut self.parts {
            (*mean, *square) = (mean.scaled(1.0 / *odds), square.scaled(1.0 / *odds));
            *odds /= sum;
        }
        for (odds, _) in self.spreads.iter_mut().chain(&mut self.habits) {
            *odds /= sum;
        }
        self
    }

    fn moments(&self) -> (Pair, Symmetric) {
        let (mean, square) = self.parts.iter().fold(
            (Pair::default(), Symmetric::default()),
            |(mean, square), (odds, of_part, square_of_part)| {
                (mean + of_part.scaled(*odds), square + square_of_part.scaled(*odds))
            },
        );
        (mean, square - Symmetric::square_of(mean))
    }

    /// The value of an error that is undercut with these odds.
    fn quantile(&self, odds: f64, which: fn(Pair) -> f64, square: fn(Symmetric) -> f64) -> f64 {
        let parts: Vec<(f64, f64, f64)> = self
            .parts
            .iter()
            .map(|(odds, mean, squares)| {
                (*odds, which(*mean), (square(*squares) - which(*mean) * which(*mean)).sqrt())
            })
            .collect();
        quantile_of_normals(&parts, odds)
    }
}

fn numbers(settled: Settled) -> [f64; 6] {
    let Settled { ln, mean, covariance } = settled;
    [ln, mean.level, mean.slope, covariance.level, covariance.both, covariance.slope]
}

/// Weights of values at 0, 1, 2 … for what lies at `place`. Definition: Lagrange's polynomials.
fn lagrange<const N: usize>(place: f64) -> [f64; N] {
    std::array::from_fn(|node| {
        (0..N)
            .filter(|other| *other != node)
            .map(|other| (place - count(other)) / (count(node) - count(other)))
            .product()
    })
}

fn interpolated(weights: &[f64], rows: impl Iterator<Item = [f64; 6]>) -> [f64; 6] {
    weights.iter().zip(rows).fold([0.0; 6], |mut sum, (weight, row)| {
        for (sum, value) in sum.iter_mut().zip(row) {
            *sum += weight * value;
        }
        sum
    })
}
