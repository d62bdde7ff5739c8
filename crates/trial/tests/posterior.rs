//! The posterior of five simulated trials against long Markov chains and restricted maximum likelihood, both made by
//! other programs; see `trials/expected.json` for which.
//!
//! Tolerances, set with the reference before this code was written: means within four Monte Carlo errors or 0.03
//! standard deviations, standard deviations within
//! 4 % or four Monte Carlo errors, odds within 0.02, quantiles of the length that fits within
//! 0.02 in from 0.05 to 0.95. For Student errors 0.08, 6 %, 0.03 and 0.03 in: there the draws are fewer, and ours is
//! Laplace's approximation.
#![expect(clippy::unwrap_used, reason = "a trial that cannot be read fails its test")]

mod sets;

use serde_json::Value;
use sets::{folder, strikes};
use trial::{
    Answer, Axis, Cost, Evidence, LengthBelief, Model, NEAR_ENOUGH_MM2, Posterior, Spread, restricted,
};

const SETS: [&str; 5] = ["open-1", "open-2", "open-3", "open-4", "open-5"];

fn expected() -> Value {
    serde_json::from_slice(&std::fs::read(folder().join("expected.json")).unwrap()).unwrap()
}

struct Tolerance {
    mean_in_sd: f64,
    sd: f64,
    odds: f64,
    quantile_in: f64,
}

const CLOSE: Tolerance = Tolerance { mean_in_sd: 0.03, sd: 0.04, odds: 0.02, quantile_in: 0.02 };
const LAPLACE: Tolerance = Tolerance { mean_in_sd: 0.08, sd: 0.06, odds: 0.03, quantile_in: 0.03 };

/// Notes what lies outside its tolerance.
struct Compared<'a> {
    of: String,
    mcmc: &'a Value,
    tolerance: &'a Tolerance,
    off: Vec<String>,
}

impl Compared<'_> {
    fn moments(&mut self, name: &str, mean: f64, sd: f64) {
        let reference = &self.mcmc[name];
        let number = |key: &str| reference[key].as_f64().unwrap();
        let allowed = (4.0 * number("mcse_mean")).max(self.tolerance.mean_in_sd * number("sd"));
        if (mean - number("mean")).abs() > allowed {
            self.off.push(format!("{} {name}: mean {mean} for {}", self.of, number("mean")));
        }
        let allowed = (4.0 * number("mcse_sd")).max(self.tolerance.sd * number("sd"));
        if (sd - number("sd")).abs() > allowed {
            self.off.push(format!("{} {name}: sd {sd} for {}", self.of, number("sd")));
        }
    }

    fn line(&mut self, posterior: &Posterior) {
        for (axis, letter) in Axis::BOTH.into_iter().zip(["x", "y"]) {
            let moments = posterior.moments(axis);
            let covariance = moments.covariance();
            self.moments(&format!("a_{letter}"), moments.mean.level, covariance.level.sqrt());
            self.moments(&format!("b_{letter}"), moments.mean.slope, covariance.slope.sqrt());
            for (name, of) in [
                ("su", (|spread| spread.day_level) as fn(&Spread) -> f64),
                ("sv", |spread| spread.day_slope),
                ("sigma", |spread| spread.scatter),
            ] {
                let mean = posterior.mean_of_spread(axis, of);
                let square = posterior.mean_of_spread(axis, |spread| of(spread).powi(2));
                self.moments(&format!("{name}_{letter}"), mean, (square - mean * mean).sqrt());
            }
        }
    }

    fn answer(&mut self, answer: &Answer) {
        for (key, odds) in [("p_best", &answer.odds_best), ("p_within_4mm2_of_best", &answer.odds_near_best)]
        {
            for (place, (ours, theirs)) in odds.iter().zip(self.mcmc[key].as_array().unwrap()).enumerate() {
                if (ours - theirs.as_f64().unwrap()).abs() > self.tolerance.odds {
                    self.off.push(format!("{} {key} {place}: {ours} for {theirs}", self.of));
                }
            }
        }
        for key in ["0.05", "0.1", "0.25", "0.5", "0.75", "0.9", "0.95"] {
            let theirs = self.mcmc["dstar"]["q"][key].as_f64().unwrap();
            let ours = answer.fit_quantile(key.parse().unwrap());
            if (ours - theirs).abs() > self.tolerance.quantile_in {
                self.off.push(format!("{} fit {key}: {ours} for {theirs}", self.of));
            }
        }
        let choice = self.mcmc["choice_in"].as_f64().unwrap();
        if (answer.choice_in - choice).abs() > 1e-9 {
            self.off.push(format!("{} choice: {} for {choice}", self.of, answer.choice_in));
        }
    }
}

#[test]
fn level_slope_and_odds_agree_with_long_markov_chains() {
    let expected = expected();
    let mut off = Vec::new();
    for set in SETS {
        let strikes = strikes(set);
        let evidence = Evidence::of(&strikes);
        for (key, belief, model, tolerance) in [
            ("normal", LengthBelief::NoRule, Model::Normal, &CLOSE),
            ("rule", LengthBelief::COMMON_PRACTICE, Model::Normal, &CLOSE),
            ("t4", LengthBelief::NoRule, Model::Student, &LAPLACE),
        ] {
            let posterior = evidence.under(belief, model);
            let answer =
                Answer::of(&posterior, strikes.offsets_in(), &Cost::default(), NEAR_ENOUGH_MM2, [0.0, 0.0]);
            let mcmc = &expected["data_sets"][set]["mcmc"][key];
            let mut compared = Compared { of: format!("{set} {key}"), mcmc, tolerance, off: Vec::new() };
            compared.line(&posterior);
            compared.answer(&answer);
            off.extend(compared.off);
            if model == Model::Student {
                // the reference's own figure is another Laplace approximation; `reference/` samples instead
                continue;
            }
            let log = expected["data_sets"][set]["log_evidence"][key].as_f64().unwrap();
            if (posterior.ln_evidence() - log).abs() > 0.1 {
                off.push(format!("{set} {key} evidence: {} for {log}", posterior.ln_evidence()));
            }
        }
    }
    assert!(off.is_empty(), "{}", off.join("\n"));
}

#[test]
fn the_restricted_likelihood_is_that_of_other_programs() {
    let expected = expected();
    for set in SETS {
        let strikes = strikes(set);
        for (axis, letter) in Axis::BOTH.into_iter().zip(["x", "y"]) {
            let reml = &expected["data_sets"][set]["reml"][letter];
            let number = |key: &str| reml[key].as_f64().unwrap();
            let spread =
                Spread { scatter: number("sigma"), day_level: number("su"), day_slope: number("sv") };
            let ours = restricted(&strikes, axis, spread).unwrap();
            // printed to six decimals, the likelihood to five
            assert!((ours.line.level - number("a")).abs() < 2e-5, "{set} {letter}: {:?}", ours.line);
            assert!((ours.line.slope - number("b")).abs() < 2e-5, "{set} {letter}: {:?}", ours.line);
            assert!((ours.covariance.level.sqrt() - number("se_a")).abs() < 2e-5);
            assert!((ours.covariance.slope.sqrt() - number("se_b")).abs() < 2e-5);
            assert!(
                (ours.ln_likelihood - number("reml_loglik")).abs() < 2e-5,
                "{set} {letter}: {}",
                ours.ln_likelihood
            );
            // and a maximum: no step of a hundredth in any of the three makes it larger
            for step in [-0.01, 0.01] {
                for (scatter, level, slope) in [(step, 0.0, 0.0), (0.0, step, 0.0), (0.0, 0.0, step)] {
                    let aside = Spread {
                        scatter: spread.scatter + scatter,
                        day_level: (spread.day_level + level).max(0.0),
                        day_slope: (spread.day_slope + slope).max(0.0),
                    };
                    let other = restricted(&strikes, axis, aside).unwrap();
                    assert!(other.ln_likelihood <= ours.ln_likelihood + 1e-7, "{set} {letter}: {aside:?}");
                }
            }
        }
    }
}
