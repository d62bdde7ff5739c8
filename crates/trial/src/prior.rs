//! What is taken to be known before the first ball: all of it weak, all of it shown to whoever asks.
//!
//! Assumptions of the method, not measurements: no iron data on how strikes shift from day to day have been found. The
//! ranges are those of trade practice, and the simulation study in the docs says how the answers fare when they are
//! off.

use crate::TrialError;
use crate::math::ln;
use crate::quadrature::normal_trapezoid;
use crate::two_by_two::Symmetric;

/// Standard deviation of a slope, mm per inch.
pub const SLOPE_SD: f64 = 15.0;
/// Standard deviation of a level when no rule is taken into account, mm.
pub const LEVEL_SD: f64 = 15.0;
/// Middle of the scatter of single balls, mm, and the spread of its logarithm.
pub const SCATTER: (f64, f64) = (7.0, 0.5);
/// Scale of the shift of a day's level, mm (half-normal).
pub const DAY_LEVEL_SCALE: f64 = 4.0;
/// Scale of the shift of a day's slope, mm per inch (half-normal).
pub const DAY_SLOPE_SCALE: f64 = 3.0;
/// Standard deviation of a habit of striking that has nothing to do with length, mm.
pub const HABIT_SD: f64 = 3.0;

/// Least spread of golfers about a rule, in. Choice of the method: a golfer nearer than that is alike for every bench, and
/// a belief still surer would leave a trial nothing to say.
pub(crate) const LEAST_SPREAD_IN: f64 = 0.05;

/// What is believed of the length that fits, before the trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LengthBelief {
    /// Nothing: level and slope are free of each other.
    NoRule,
    /// The static rule: the length that fits lies about the rule's, and what else the strikes do is habit.
    Rule {
        /// Where it lies from the rule's length on average, in.
        mean_in: f64,
        /// How far golfers stray from that, in.
        sd_in: f64,
    },
}

impl LengthBelief {
    /// The rule as common practice has it: nothing known against it, and a spread that is an assumption.
    pub const COMMON_PRACTICE: Self = Self::Rule { mean_in: 0.0, sd_in: 0.35 };

    /// Refuses what cannot be believed.
    ///
    /// # Errors
    /// [`TrialError::BadSetting`] for a mean beyond an inch or a spread outside 0.05 to 1 in.
    pub fn check(self) -> Result<(), TrialError> {
        let Self::Rule { mean_in, sd_in } = self else { return Ok(()) };
        if !(-1.0..=1.0).contains(&mean_in) {
            return Err(TrialError::BadSetting {
                what: "the rule's own error",
                found: mean_in,
                expected: "-1 to 1 in",
            });
        }
        if !(LEAST_SPREAD_IN..=1.0).contains(&sd_in) {
            return Err(TrialError::BadSetting {
                what: "the rule's spread",
                found: sd_in,
                expected: "0.05 to 1 in",
            });
        }
        Ok(())
    }

    /// The lengths that may fit, with their weights, and what each says of level and slope.
    ///
    /// Nineteen places of the trapezoid rule out to 3.9 standard deviations: fewer nodes of Gauss-Hermite put the odds
    /// off by up to 0.14, these by at most 0.003.
    pub(crate) fn nodes(self) -> Vec<Node> {
        match self {
            Self::NoRule => {
                let precision = Symmetric::new(1.0 / (LEVEL_SD * LEVEL_SD), 0.0, 1.0 / (SLOPE_SD * SLOPE_SD));
                vec![Node { ln_weight: 0.0, precision, ln_determinant: ln(precision.determinant()) }]
            }
            Self::Rule { mean_in, sd_in } => {
                let places: Vec<f64> = (-9..=9).map(|place| f64::from(place) * 3.0 / 7.0).collect();
                normal_trapezoid(mean_in, sd_in, &places)
                    .into_iter()
                    .map(|(fit_in, weight)| Node::of_fit(fit_in, HABIT_SD, ln(weight)))
                    .collect()
            }
        }
    }
}

/// One length that may fit.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Node {
    pub(crate) ln_weight: f64,
    /// What it says of level and slope, the same for both axes.
    pub(crate) precision: Symmetric,
    pub(crate) ln_determinant: f64,
}

impl Node {
    /// If `fit_in` fits, then level = habit − slope · fit.
    pub(crate) fn of_fit(fit_in: f64, habit_sd: f64, ln_weight: f64) -> Self {
        let habit = 1.0 / (habit_sd * habit_sd);
        let precision =
            Symmetric::new(habit, fit_in * habit, 1.0 / (SLOPE_SD * SLOPE_SD) + fit_in * fit_in * habit);
        Self { ln_weight, precision, ln_determinant: ln(habit / (SLOPE_SD * SLOPE_SD)) }
    }
}
