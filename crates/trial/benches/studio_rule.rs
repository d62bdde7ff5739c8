//! How long a studio takes to learn: one golfer's profile, and the rule from ten thousand that were kept.
//!
//! `cargo bench -p trial`; one core.
#![expect(clippy::unwrap_used, reason = "a benchmark that cannot run has nothing to time")]

#[path = "../tests/sets/mod.rs"]
mod sets;

use divan::{Bencher, black_box};
use trial::{FIT_PLACES, HABIT_SDS_MM, Profile, Strikes, StudioRule, Tried, WhyTried, fit_place_in};

fn main() {
    divan::main();
}

fn strikes() -> Strikes {
    sets::strikes("open-1")
}

#[divan::bench]
fn one_profile(bencher: Bencher) {
    let strikes = strikes();
    bencher.bench(|| Profile::of(black_box(&strikes)));
}

/// Golfers whose fits were read to between 0.1 and 0.5 in, about a rule that is 0.1 in off; by an even sequence in place
/// of random numbers.
fn kept(golfers: u32) -> Vec<Tried> {
    (1..=golfers)
        .map(|golfer| {
            let even = |step: f64| (f64::from(golfer) * step).fract() - 0.5;
            let knuckle_above_anchor_in = 8.0 * even(0.618_034);
            // a sum of even numbers is nearly normal; the spread of this one is 0.25
            let own = 0.5 * (even(0.414_214) + even(0.732_051) + even(0.236_068));
            let sd_in = 0.3 + 0.4 * even(0.645_751);
            let read_in = 0.1
                + 0.03 * knuckle_above_anchor_in
                + own
                + sd_in * 2.0 * (even(0.316_625) + even(0.605_551) + even(0.123_106));
            let numbers: Vec<f64> = HABIT_SDS_MM
                .iter()
                .flat_map(|habit_sd| {
                    let variance = sd_in * sd_in + 0.001 * habit_sd * habit_sd;
                    let ln_root = 0.5 * variance.ln() + 0.01 * habit_sd * habit_sd;
                    (0..FIT_PLACES).map(move |place| {
                        -0.5 * (fit_place_in(place) - read_in) * (fit_place_in(place) - read_in) / variance
                            - ln_root
                    })
                })
                .collect();
            let profile = Profile::from_numbers(&numbers).unwrap();
            Tried { profile, knuckle_above_anchor_in, why: WhyTried::Everyone }
        })
        .collect()
}

#[divan::bench(args = [100, 1_000, 10_000], max_time = 5)]
fn learn_from_kept_profiles(bencher: Bencher, golfers: u32) {
    let golfers = kept(golfers);
    bencher.bench(|| StudioRule::learn(black_box(&golfers)).unwrap());
}
