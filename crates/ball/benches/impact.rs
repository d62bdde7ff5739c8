//! How long one impact takes.
//!
//! `cargo bench -p ball --bench impact`. One core. Checking the head and the delivery is part of it.
#![expect(clippy::unwrap_used, reason = "a benchmark that cannot run has nothing to time")]

use ball::impact::{CAVITY_7_IRON, DRIVER, Delivery, Head, StrikePlace, start_with_lie_error, strike};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

fn off_centre() -> Delivery {
    Delivery {
        head_speed_mps: 36.0,
        dynamic_loft_deg: 25.0,
        attack_deg: -4.0,
        path_deg: 2.0,
        face_open_deg: 1.0,
        lie_error_deg: 2.0,
        place: StrikePlace { toe_mm: 12.0, high_mm: -6.0 },
    }
}

fn bench_strike(bencher: Bencher, head: &Head) {
    let delivery = off_centre();
    bencher.bench(|| strike(black_box(head), black_box(&delivery)).unwrap());
}

#[divan::bench]
fn one_impact_with_a_flat_face(bencher: Bencher) {
    bench_strike(bencher, &CAVITY_7_IRON.head);
}

#[divan::bench]
fn one_impact_with_a_curved_face(bencher: Bencher) {
    bench_strike(bencher, &DRIVER.head);
}

#[divan::bench]
fn start_of_a_ball_with_a_wrong_lie(bencher: Bencher) {
    let delivery = off_centre();
    bencher.bench(|| start_with_lie_error(&CAVITY_7_IRON.head, black_box(&delivery)).unwrap());
}
