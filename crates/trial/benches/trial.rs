//! How long a trial of 120 balls takes, step by step.
//!
//! `cargo bench -p trial`. One core: nothing here starts a thread. The limits are those of `docs/performance.md`.
#![expect(clippy::unwrap_used, reason = "a benchmark that cannot run has nothing to time")]

#[path = "../tests/sets/mod.rs"]
mod sets;

use divan::{Bencher, black_box};
use trial::{
    Analysis, Decision, Evidence, Judging, LengthBelief, Model, Settings, Strikes, decide, draws, next_day,
    shuffled_as_often,
};

fn main() {
    assert_eq!(strikes().balls(), 120, "the figures in the docs are for 120 balls");
    divan::main();
}

fn strikes() -> Strikes {
    sets::strikes("open-1")
}

fn both_priors(strikes: &Strikes, evidence: &Evidence, model: Model) -> [Decision; 2] {
    [LengthBelief::NoRule, LengthBelief::COMMON_PRACTICE]
        .map(|belief| decide(strikes, &evidence.under(belief, model), &Judging::default()).0)
}

#[divan::bench]
fn evidence_of_normal_errors(bencher: Bencher) {
    let strikes = strikes();
    bencher.bench(|| Evidence::with_normal_errors(black_box(&strikes)));
}

#[divan::bench]
fn evidence_of_both_errors(bencher: Bencher) {
    let strikes = strikes();
    bencher.bench(|| Evidence::of(black_box(&strikes)));
}

#[divan::bench]
fn both_priors_decided_with_normal_errors(bencher: Bencher) {
    let strikes = strikes();
    bencher
        .bench(|| both_priors(black_box(&strikes), &Evidence::with_normal_errors(&strikes), Model::Normal));
}

#[divan::bench]
fn both_priors_decided_with_both_errors(bencher: Bencher) {
    let strikes = strikes();
    bencher.bench(|| both_priors(black_box(&strikes), &Evidence::of(&strikes), Model::Mixture));
}

#[divan::bench]
fn one_belief_laid_over_normal_errors(bencher: Bencher) {
    let evidence = Evidence::with_normal_errors(&strikes());
    bencher.bench(|| black_box(&evidence).under(LengthBelief::COMMON_PRACTICE, Model::Normal));
}

#[divan::bench]
fn one_decision(bencher: Bencher) {
    let strikes = strikes();
    let posterior =
        Evidence::with_normal_errors(&strikes).under(LengthBelief::COMMON_PRACTICE, Model::Normal);
    bencher.bench(|| decide(&strikes, black_box(&posterior), &Judging::default()));
}

#[divan::bench]
fn draws_of_one_posterior(bencher: Bencher) {
    let posterior =
        Evidence::with_normal_errors(&strikes()).under(LengthBelief::COMMON_PRACTICE, Model::Normal);
    bencher.bench(|| draws(black_box(&posterior), [1.0, 1.0]));
}

#[divan::bench]
fn worth_of_another_day(bencher: Bencher) {
    let strikes = strikes();
    let posterior = Evidence::of(&strikes).under(LengthBelief::COMMON_PRACTICE, Model::Mixture);
    let balls: Vec<f64> = strikes.days()[0].strikes.iter().map(|strike| strike.offset_in).collect();
    bencher.bench(|| next_day(black_box(&posterior), &balls, strikes.offsets_in()));
}

#[divan::bench]
fn shuffles(bencher: Bencher) {
    let strikes = strikes();
    bencher.bench(|| shuffled_as_often(black_box(&strikes), 1));
}

#[divan::bench]
fn the_whole_analysis(bencher: Bencher) {
    let strikes = strikes();
    bencher.bench(|| Analysis::of(black_box(&strikes).clone(), Settings::default()).unwrap());
}
