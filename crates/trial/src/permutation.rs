//! The within-day shuffle: did length do anything at all on these days?
//!
//! A check without a model, never the decision: a slope that comes and goes with the day sets it off too.

use crate::strike::{Axis, Strikes, count, is_same_length};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

/// Shuffles made.
pub const SHUFFLES: u32 = 999;

/// A run of balls of one length within a day: what is shuffled.
struct Unit {
    balls: f64,
    length: f64,
    /// Sum of places along each axis, about the day's mean and in units of the trial's scatter.
    sums: [f64; 2],
}

/// Returns how often, in a thousand, shuffled lengths do as much as the real ones; 1 when no day has two lengths.
///
/// The generator is `ChaCha8` of this seed; shuffles are Fisher's and Yates's, from the last unit down.
#[must_use]
pub fn shuffled_as_often(strikes: &Strikes, seed: u64) -> f64 {
    let mut days = units(strikes);
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let real = statistic(&days);
    let mut as_much = 0_u32;
    for _ in 0..SHUFFLES {
        for day in &mut days {
            for last in (1..day.len()).rev() {
                let other = random.random_range(0..=last);
                let (one, two) = (day[last].length, day[other].length);
                (day[last].length, day[other].length) = (two, one);
            }
        }
        // equal but for rounding counts as much
        as_much += u32::from(statistic(&days) >= real * (1.0 - 1e-12));
    }
    f64::from(1 + as_much) / f64::from(1 + SHUFFLES)
}

fn units(strikes: &Strikes) -> Vec<Vec<Unit>> {
    let sds = Axis::BOTH.map(|axis| {
        let squares: f64 = strikes
            .days()
            .iter()
            .flat_map(|day| {
                let mean = day.strikes.iter().map(|strike| strike.along(axis)).sum::<f64>() / day.count();
                day.strikes.iter().map(move |strike| (strike.along(axis) - mean).powi(2))
            })
            .sum();
        (squares / count(strikes.balls()).max(1.0)).sqrt().max(1e-9)
    });
    strikes
        .days()
        .iter()
        .map(|day| {
            let means = Axis::BOTH
                .map(|axis| day.strikes.iter().map(|strike| strike.along(axis)).sum::<f64>() / day.count());
            let mut units: Vec<Unit> = Vec::new();
            for strike in &day.strikes {
                let places = [(strike.x_mm - means[0]) / sds[0], (strike.y_mm - means[1]) / sds[1]];
                match units.last_mut() {
                    Some(unit) if is_same_length(unit.length, strike.offset_in) => {
                        unit.balls += 1.0;
                        unit.sums = [unit.sums[0] + places[0], unit.sums[1] + places[1]];
                    }
                    _ => units.push(Unit { balls: 1.0, length: strike.offset_in, sums: places }),
                }
            }
            units
        })
        .collect()
}

/// Square of what lengths and places have in common, over both axes, in shares of the lengths' own squares.
fn statistic(days: &[Vec<Unit>]) -> f64 {
    let (mut common, mut squares) = ([0.0, 0.0], 0.0);
    for day in days {
        let balls: f64 = day.iter().map(|unit| unit.balls).sum();
        let mean = day.iter().map(|unit| unit.balls * unit.length).sum::<f64>() / balls;
        for unit in day {
            let about = unit.length - mean;
            squares += unit.balls * about * about;
            for (sum, of_unit) in common.iter_mut().zip(unit.sums) {
                *sum += about * of_unit;
            }
        }
    }
    if squares > 1e-9 { common.iter().map(|sum| sum * sum / squares).sum() } else { 0.0 }
}
