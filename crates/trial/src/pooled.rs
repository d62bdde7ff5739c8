//! What several studios say of the length rule together, each of which may read knuckles and mark sweet spots in its own
//! way.
//!
//! Error of the rule's intercept in studio j = error all have in common + the studio's own, normal with the difference
//! between studios as standard deviation; inches, longer positive. What a studio's golfers say of its error is taken as a
//! normal likelihood. A studio with few golfers is drawn toward the others, one with many stays with its own
//! (`docs/derivations/studio-rule.md`).

use crate::TrialError;
use crate::math::{exp, ln};
use crate::normal_mixture::quantile_of_normals;
use crate::posterior::quantile_of_weighted;
use crate::strike::count;
use crate::studio_rule::{INTERCEPT_SD_IN, Learnt, RuleErrors, StudioRule};

/// Scale of the half-normal of the differences between studios before any golfer, in.
///
/// Assumption of the method: two fitters' readings of one knuckle height differ by some tenths of an inch, of which the
/// rule passes on a quarter, and sweet spots marked 1 mm apart are 0.05 to 0.08 in of length.
pub const BETWEEN_SCALE_IN: f64 = 0.10;
/// Step of the differences considered, in, and how many. Choice of the method: to five scales.
const STEP_IN: f64 = 0.005;
const STEPS: usize = 100;
/// A studio's error with a standard deviation as near to that before any golfer, either way, says nothing. Choice of the
/// method: one golfer's trial takes off some hundredths of it, and rounding may add some.
const TELLS_NOTHING: f64 = 0.001;

/// What several studios say together.
#[derive(Debug, Clone, PartialEq)]
pub struct Pooled {
    /// The error of the rule's intercept that all have in common, in.
    pub together_in: Learnt,
    /// Standard deviation of what is a studio's own, in.
    pub between_in: Learnt,
    /// The error in each studio, in, in the order given: its own golfers' and what the others let one expect.
    pub studios_in: Vec<Learnt>,
}

impl Pooled {
    /// Pools the intercept errors studios learnt each from its own golfers ([`StudioRule::intercept_in`]): mean and standard
    /// deviation, in.
    ///
    /// # Errors
    /// [`TrialError::BadSetting`] for a mean beyond 1 in, or a standard deviation that is not between nothing and that
    /// before any golfer, 0.25 in.
    pub fn of(studios: &[(f64, f64)]) -> Result<Self, TrialError> {
        let told = studios.iter().map(|(mean, sd)| Told::of(*mean, *sd)).collect::<Result<Vec<_>, _>>()?;
        let mut parts: Vec<Given> =
            (0..STEPS).map(|step| Given::of((count(step) + 0.5) * STEP_IN, &told)).collect();
        let best = parts.iter().map(|part| part.ln).fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = parts.iter().map(|part| exp(part.ln - best)).sum();
        for part in &mut parts {
            part.odds = exp(part.ln - best) / sum;
        }
        let mut between: Vec<(f64, f64)> = parts.iter().map(|part| (part.odds, part.between)).collect();
        let mean: f64 = between.iter().map(|(odds, value)| odds * value).sum();
        let variance: f64 = between.iter().map(|(odds, value)| odds * (value - mean).powi(2)).sum();
        Ok(Self {
            together_in: learnt(parts.iter().map(|part| (part.odds, part.mean, part.variance))),
            between_in: Learnt {
                mean,
                sd: variance.sqrt(),
                low: quantile_of_weighted(&mut between, 0.1),
                high: quantile_of_weighted(&mut between, 0.9),
            },
            studios_in: told
                .iter()
                .map(|told| learnt(parts.iter().map(|part| part.in_studio(told))))
                .collect(),
        })
    }
}

impl StudioRule {
    /// The errors as a later golfer's trial in one of several studios takes them: this rule learnt from the golfers of all
    /// of them, with the intercept of that studio (of [`Pooled::studios_in`]).
    ///
    /// # Errors
    /// [`TrialError::TooFewGolfers`] while all of them together may not speak.
    pub fn errors_in(&self, studio_in: &Learnt) -> Result<RuleErrors, TrialError> {
        let all = self.errors()?;
        // what the slope shares with the intercept cannot be more than the intercept is unsure by
        let shared = (studio_in.sd / all.intercept_sd_in).min(1.0);
        Ok(RuleErrors {
            intercept_in: studio_in.mean,
            intercept_sd_in: studio_in.sd,
            intercept_with_slope: all.intercept_with_slope * shared,
            ..all
        })
    }
}

/// What a studio's golfers say of its error, without what was assumed before: precision, and precision times mean.
struct Told {
    precision: f64,
    pull: f64,
}

impl Told {
    fn of(mean: f64, sd: f64) -> Result<Self, TrialError> {
        let bad = |what, found, expected| Err(TrialError::BadSetting { what, found, expected });
        // numbers that are none lie in no range
        if !(-1.0..=1.0).contains(&mean) {
            return bad("a studio's error of the rule", mean, "-1 to 1 in");
        }
        if !(sd > 0.0 && sd <= (1.0 + TELLS_NOTHING) * INTERCEPT_SD_IN) {
            return bad("how unsure a studio's error of the rule is", sd, "more than 0, at most 0.25 in");
        }
        if sd >= (1.0 - TELLS_NOTHING) * INTERCEPT_SD_IN {
            return Ok(Self { precision: 0.0, pull: 0.0 });
        }
        let precision = (sd * sd).recip() - (INTERCEPT_SD_IN * INTERCEPT_SD_IN).recip();
        Ok(Self { precision, pull: mean / (sd * sd) })
    }
}

/// What follows where the difference between studios is given.
struct Given {
    between: f64,
    /// Log evidence, with what was assumed of the difference.
    ln: f64,
    odds: f64,
    /// Of the error all have in common.
    mean: f64,
    variance: f64,
}

impl Given {
    fn of(between: f64, told: &[Told]) -> Self {
        let (mut precision, mut pull, mut ln_evidence) =
            ((INTERCEPT_SD_IN * INTERCEPT_SD_IN).recip(), 0.0, -0.5 * (between / BETWEEN_SCALE_IN).powi(2));
        for told in told.iter().filter(|told| told.precision > 0.0) {
            let read = told.pull / told.precision;
            let spread = between * between + told.precision.recip();
            precision += spread.recip();
            pull += read / spread;
            ln_evidence -= 0.5 * (ln(spread) + read * read / spread);
        }
        let mean = pull / precision;
        ln_evidence += 0.5 * (pull * mean - ln(precision));
        Self { between, ln: ln_evidence, odds: 0.0, mean, variance: precision.recip() }
    }

    /// Odds, mean and variance of the error in a studio.
    fn in_studio(&self, told: &Told) -> (f64, f64, f64) {
        let own = self.between * self.between;
        let whole = 1.0 + own * told.precision;
        // the share of what all have in common
        let share = whole.recip();
        (self.odds, share * (own * told.pull + self.mean), own * share + share * share * self.variance)
    }
}

/// Sums up parts, each normal with odds, mean and variance.
fn learnt(parts: impl Iterator<Item = (f64, f64, f64)>) -> Learnt {
    let parts: Vec<(f64, f64, f64)> = parts.collect();
    let mean: f64 = parts.iter().map(|(odds, mean, _)| odds * mean).sum();
    let variance: f64 =
        parts.iter().map(|(odds, of_part, variance)| odds * (variance + (of_part - mean).powi(2))).sum();
    let normals: Vec<(f64, f64, f64)> =
        parts.iter().map(|(odds, mean, variance)| (*odds, *mean, variance.sqrt())).collect();
    Learnt {
        mean,
        sd: variance.sqrt(),
        low: quantile_of_normals(&normals, 0.1),
        high: quantile_of_normals(&normals, 0.9),
    }
}

#[cfg(test)]
mod tests {
    use super::Pooled;

    #[test]
    fn numbers_that_cannot_be_meant_are_refused() {
        for (mean, sd) in
            [(f64::NAN, 0.1), (1.5, 0.1), (0.1, 0.0), (0.1, 0.3), (0.1, f64::INFINITY), (0.1, -0.1)]
        {
            assert!(Pooled::of(&[(0.0, 0.1), (mean, sd)]).is_err(), "{mean} {sd}");
        }
    }

    #[test]
    fn a_studio_without_golfers_expects_what_the_others_say_and_changes_nothing() {
        let two = Pooled::of(&[(0.12, 0.03), (0.02, 0.03)]).unwrap();
        let three = Pooled::of(&[(0.12, 0.03), (0.0, 0.25), (0.02, 0.03)]).unwrap();
        assert_eq!(three.together_in, two.together_in);
        assert!((three.studios_in[1].mean - two.together_in.mean).abs() < 1e-12);
        assert!(three.studios_in[1].sd > three.studios_in[0].sd);
        assert!((two.together_in.mean - 0.07).abs() < 0.01, "{:?}", two.together_in);
    }

    #[test]
    fn the_order_of_studios_does_not_matter_and_few_golfers_are_drawn_toward_many() {
        let [first, second] = [(0.20, 0.10), (0.00, 0.02)];
        let one = Pooled::of(&[first, second]).unwrap();
        let other = Pooled::of(&[second, first]).unwrap();
        assert!((one.studios_in[0].mean - other.studios_in[1].mean).abs() < 1e-12);
        // the studio with few golfers moves by more than the one with many
        assert!(first.0 - one.studios_in[0].mean > 10.0 * (one.studios_in[1].mean - second.0).abs());
    }
}
