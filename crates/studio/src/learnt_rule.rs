//! What the studio's own trials say of the length rule, and what the owner has said is to be done with it.

use crate::{Dossier, Field, Id, TrialFile, TrialReason};
use fitting::StaticRule;
use jiff::civil::Date;
use quantity::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use trial::{LengthBelief, Profile, RuleErrors, Strikes, Tried, WhyTried};

/// What one golfer's opened trial says of the rule, kept so that many golfers can be learnt from without their strikes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeptProfile {
    /// Knuckle height when the code was opened, m.
    pub knuckle_height_m: f64,
    /// Log probability of the strikes at every length and habit, in the order of [`Profile::numbers`], less the greatest.
    pub numbers: Vec<f64>,
}

impl KeptProfile {
    /// Works it out. Numbers are kept to a ten-thousandth: odds then are off by one in ten thousand at most.
    #[must_use]
    pub fn of(strikes: &Strikes, knuckle_height: Length) -> Self {
        let profile = Profile::of(strikes);
        let greatest = profile.numbers().iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let numbers =
            profile.numbers().iter().map(|number| ((number - greatest) * 1e4).round() / 1e4).collect();
        Self { knuckle_height_m: knuckle_height.as_metres(), numbers }
    }
}

/// What is expected of the length that suits before the first ball of a trial, where it is not common practice.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Expectation {
    /// Where it lies from the rule's length on average, in.
    pub mean_in: f64,
    /// How far golfers stray from that, in.
    pub sd_in: f64,
}

impl Expectation {
    /// Returns it as a trial takes it.
    #[must_use]
    pub fn belief(self) -> LengthBelief {
        LengthBelief::Rule { mean_in: self.mean_in, sd_in: self.sd_in }
    }
}

/// The rule as the studio's golfers have it, taken into account on the owner's word. It stands as it was learnt that day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LearntRule {
    /// What was learnt.
    pub errors: RuleErrors,
    /// How many golfers it was learnt from.
    pub golfers: u32,
    /// Who said that it is to be used.
    pub by: String,
    /// The day.
    #[schemars(with = "String", extend("format" = "date"))]
    pub day: Date,
}

impl LearntRule {
    /// What it lets one expect of a golfer; nothing where it would have to be stretched beyond what a trial takes.
    #[must_use]
    pub fn expects_of(&self, knuckle_height: Length) -> Option<Expectation> {
        match self.errors.belief(above_anchor_in(knuckle_height)) {
            Ok(LengthBelief::Rule { mean_in, sd_in }) => Some(Expectation { mean_in, sd_in }),
            Ok(LengthBelief::NoRule) | Err(_) => None,
        }
    }
}

/// How far knuckles stand above the height at which the rule is anchored, in.
fn above_anchor_in(knuckle_height: Length) -> f64 {
    (knuckle_height - StaticRule::default().anchor_knuckle_height).as_inches()
}

impl Dossier {
    /// Returns the mean of the knuckle height's readings.
    #[must_use]
    pub fn knuckle_height(&self) -> Option<Length> {
        let read: Vec<f64> =
            self.body(Field::KnuckleHeight).iter().filter_map(|reading| reading.value_si).collect();
        let count = f64::from(u32::try_from(read.len()).ok().filter(|count| *count > 0)?);
        Some(Length::metres(read.iter().sum::<f64>() / count))
    }
}

/// Returns what opened trials, in the order they were planned, tell of the rule: of each golfer the last about its length.
///
/// Trials after a job tell nothing, for their offsets are counted from elsewhere, and neither do those opened without a
/// knuckle height.
#[must_use]
pub fn tell_of_the_rule(trials: &[TrialFile]) -> Vec<Tried> {
    let mut last: BTreeMap<&Id, Tried> = BTreeMap::new();
    for trial in trials.iter().filter(|trial| !trial.removed && trial.opened.is_some()) {
        let why = match trial.reason {
            TrialReason::Everyone => WhyTried::Everyone,
            TrialReason::RuleDoubted => WhyTried::Doubtful,
            TrialReason::GolferAsked => WhyTried::Asked,
            TrialReason::AfterJob => continue,
        };
        let Some(kept) = &trial.profile else { continue };
        let Ok(profile) = Profile::from_numbers(&kept.numbers) else { continue };
        let knuckle_above_anchor_in = above_anchor_in(Length::metres(kept.knuckle_height_m));
        last.insert(&trial.golfer, Tried { profile, knuckle_above_anchor_in, why });
    }
    last.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::{Expectation, KeptProfile, LearntRule, tell_of_the_rule};
    use crate::{ClubsMadeBy, Id, TrialFile, TrialReason};
    use jiff::civil::date;
    use quantity::Length;
    use trial::{Profile, RuleErrors, Strike, Strikes, WhyTried};

    fn strikes() -> Strikes {
        let ball = |order: u32| {
            let (offset_in, stray) = (f64::from(order % 3) / 2.0 - 0.5, f64::from(order * 7 % 11) - 5.0);
            Strike {
                session: 1 + order / 12,
                order,
                offset_in,
                x_mm: 3.0 - 8.0 * offset_in + stray,
                y_mm: 9.0 * offset_in - stray,
            }
        };
        Strikes::new((0..36).map(ball).collect()).unwrap()
    }

    fn opened(golfer: u8, reason: TrialReason, knuckles_in: f64) -> TrialFile {
        TrialFile {
            id: Id::of_bytes([9, 0, 0, 0, 0, 0, 0x70, 0, 0x80, 0, 0, 0, 0, 0, 0, golfer]),
            golfer: Id::of_bytes([1, 0, 0, 0, 0, 0, 0x70, 0, 0x80, 0, 0, 0, 0, 0, 0, golfer]),
            club: "7 iron".to_owned(),
            base_length_m: 0.94,
            offsets_in: vec![-0.5, 0.0, 0.5],
            visits: 3,
            rounds: 2,
            balls_in_a_row: 2,
            seed: 1,
            made_by: ClubsMadeBy::GripDown,
            sweet_spot_sd_mm: 1.0,
            reason,
            also_read: Vec::new(),
            expects: None,
            by: "the fitter".to_owned(),
            at_ms: 0,
            thought_longest: None,
            opened: Some(date(2026, 11, 3)),
            verdict: None,
            profile: Some(KeptProfile::of(&strikes(), Length::inches(knuckles_in))),
            removed: false,
        }
    }

    #[test]
    fn a_kept_profile_says_what_the_strikes_say() {
        // definition: only differences within a profile mean anything
        let (kept, whole) = (KeptProfile::of(&strikes(), Length::inches(28.0)), Profile::of(&strikes()));
        let greatest = whole.numbers().iter().copied().fold(f64::NEG_INFINITY, f64::max);
        for (kept, number) in kept.numbers.iter().zip(whole.numbers()) {
            assert!((kept - (number - greatest)).abs() <= 0.5e-4 + 1e-12);
        }
        assert!(!Profile::from_numbers(&kept.numbers).unwrap().is_flat());
    }

    #[test]
    fn of_each_golfer_the_last_trial_about_the_rule_counts() {
        let without = |trial: TrialFile| TrialFile { profile: None, ..trial };
        let trials = [
            opened(1, TrialReason::Everyone, 28.0),
            opened(2, TrialReason::RuleDoubted, 30.0),
            opened(1, TrialReason::GolferAsked, 29.0),
            opened(2, TrialReason::AfterJob, 30.0),
            without(opened(3, TrialReason::Everyone, 27.0)),
            TrialFile { opened: None, ..opened(4, TrialReason::Everyone, 27.0) },
            TrialFile { removed: true, ..opened(5, TrialReason::Everyone, 27.0) },
        ];
        let told = tell_of_the_rule(&trials);
        let said: Vec<(WhyTried, String)> =
            told.iter().map(|tried| (tried.why, format!("{:.3}", tried.knuckle_above_anchor_in))).collect();
        assert_eq!(said, [(WhyTried::Asked, "1.000".to_owned()), (WhyTried::Doubtful, "2.000".to_owned())]);
    }

    #[test]
    fn what_is_expected_follows_the_knuckles_and_grows_less_sure_away_from_the_anchor() {
        let rule = LearntRule {
            errors: RuleErrors {
                intercept_in: 0.1,
                intercept_sd_in: 0.03,
                slope: 0.04,
                slope_sd: 0.02,
                intercept_with_slope: 0.0,
                spread_in: 0.25,
            },
            golfers: 120,
            by: "the fitter".to_owned(),
            day: date(2026, 11, 3),
        };
        let Expectation { mean_in, sd_in } = rule.expects_of(Length::inches(30.0)).unwrap();
        // derived: 0.1 + 2 · 0.04, and the root of 0.03² + (2 · 0.02)² + 0.25²
        assert!(
            (mean_in - 0.18).abs() < 1e-9 && (sd_in - 0.065_f64.sqrt()).abs() < 1e-9,
            "{mean_in} {sd_in}"
        );
        // golfers who are all alike are not believed to be more alike than a bench can tell
        let alike = RuleErrors { intercept_sd_in: 0.001, slope_sd: 0.0, spread_in: 0.01, ..rule.errors };
        let alike = LearntRule { errors: alike, ..rule.clone() }.expects_of(Length::inches(28.0)).unwrap();
        assert!((alike.sd_in - 0.05).abs() < 1e-12, "{}", alike.sd_in);
        // no person's knuckles
        assert_eq!(rule.expects_of(Length::inches(60.0)), None);
    }
}
