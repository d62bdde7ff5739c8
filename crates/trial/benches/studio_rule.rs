//! How long a studio takes to learn: one golfer's profile, and the rule from ten thousand that were kept.
//!
//! `cargo bench -p trial`; one core.
#![expect(clippy::unwrap_used, reason = "a benchmark that cannot run has nothing to time")]

use divan::{Bencher, black_box};
use trial::{Profile, Strike, Strikes};

fn main() {
    divan::main();
}

fn strikes() -> Strikes {
    let rows = include_str!("../tests/trials/open-1.csv").lines().skip(1).map(|row| {
        let cells: Vec<&str> = row.split(',').collect();
        let number = |column: usize| cells[column].parse::<f64>().unwrap();
        Strike {
            session: cells[0].parse().unwrap(),
            order: cells[1].parse().unwrap(),
            offset_in: number(2),
            x_mm: number(3),
            y_mm: number(4),
        }
    });
    Strikes::new(rows.collect()).unwrap()
}

#[divan::bench]
fn one_profile(bencher: Bencher) {
    let strikes = strikes();
    bencher.bench(|| Profile::of(black_box(&strikes)));
}
