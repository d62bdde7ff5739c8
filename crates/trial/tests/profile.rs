//! The profile of a golfer against the posterior's own evidence, on the five simulated trials.
#![expect(clippy::unwrap_used, reason = "a trial that cannot be read has nothing to test")]

mod sets;

use sets::strikes;
use trial::{Evidence, FIT_PLACES, LengthBelief, Model, Profile, fit_place_in};

/// Where the posterior's own belief ends, in standard deviations: 19 cells of 3/7. Without it, beliefs that the strikes
/// contradict keep a tail that the posterior's lacks, and differ by up to 0.02 more.
const FARTHEST: f64 = 9.5 * 3.0 / 7.0;

/// Logarithm of the profile's mean over a normal belief, by the trapezoid rule at its own places.
fn ln_mean(profile: &[f64], mean_in: f64, sd_in: f64) -> f64 {
    let most = profile.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let weighed = (0..FIT_PLACES).map(|place| {
        let z = (fit_place_in(place) - mean_in) / sd_in;
        if z.abs() > FARTHEST {
            return 0.0;
        }
        let weight = 0.05 * (-0.5 * z * z).exp() / (sd_in * std::f64::consts::TAU.sqrt());
        weight * (profile[place] - most).exp()
    });
    most + weighed.sum::<f64>().ln()
}

#[test]
fn a_profile_tells_lengths_apart_as_the_posteriors_evidence_does() {
    // both integrate the same model, on grids of 300 and 588 parts; 0.05 in the logarithm is 5 in 100 of the odds
    let beliefs = [(-0.6, 0.1), (-0.3, 0.05), (0.0, 0.05), (0.0, 0.35), (0.25, 0.05), (0.3, 0.2), (0.6, 0.1)];
    let mut worst = 0.0_f64;
    for set in ["open-1", "open-2", "open-3", "open-4", "open-5"] {
        let strikes = strikes(set);
        let profile = Profile::of(&strikes);
        let evidence = Evidence::with_normal_errors(&strikes);
        let apart: Vec<f64> = beliefs
            .iter()
            .map(|(mean_in, sd_in)| {
                let belief = LengthBelief::Rule { mean_in: *mean_in, sd_in: *sd_in };
                // the posterior's habit is 3 mm, the third of the profile's
                ln_mean(profile.of_habit(2), *mean_in, *sd_in)
                    - evidence.under(belief, Model::Normal).ln_evidence()
            })
            .collect();
        for one in &apart {
            for other in &apart {
                worst = worst.max((one - other).abs());
            }
        }
    }
    assert!(worst < 0.05, "{worst}");
}
