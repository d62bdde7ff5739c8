//! How long a map of strikes takes.

use ball::flight::Conditions;
use ball::impact::{CAVITY_7_IRON, Delivery};
use ball::strike_map::StrikeMap;
use ball::unknowns::{Setup, Unknowns};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

fn seven_iron() -> Setup {
    Setup {
        head: CAVITY_7_IRON.head,
        delivery: Delivery {
            head_speed_mps: 35.8,
            dynamic_loft_deg: 25.0,
            attack_deg: -4.0,
            ..Delivery::default()
        },
        conditions: Conditions::default(),
    }
}

const KNOWN: Unknowns = Unknowns::with_head_speed_known_to(Unknowns::HEAD_SPEED_MEASURED);

/// One core: the map and its intervals, then 41 by 41 places read off it.
#[divan::bench]
fn map_and_41_by_41_strikes(bencher: Bencher<'_, '_>) {
    bencher.bench_local(|| {
        let map = StrikeMap::of(black_box(&seven_iron()), &KNOWN).expect("a seven-iron flies");
        let mut sum = 0.0;
        for row in -20..=20 {
            for column in -20..=20 {
                sum += map.at(f64::from(column) * 1.2, f64::from(row) * 0.8).lost_m;
            }
        }
        sum
    });
}
