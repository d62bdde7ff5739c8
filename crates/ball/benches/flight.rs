//! How many flights a second.
//!
//! `cargo bench -p ball --bench flight`. One core but for `on_all_cores`; the limit is 30,000 flights a second on one. What
//! the usual accuracy costs in centimetres is asserted in `tests/flight_laws.rs`.

use ball::flight::{Accuracy, Conditions, Ground, Launch, Wind, fly, fly_along, fly_many, run_out};
use divan::counter::ItemsCount;
use divan::{Bencher, black_box};

/// Flights in one sample.
const FLIGHTS: u32 = 1_000;

fn main() {
    divan::main();
}

/// Launches from a wedge's to a driver's, straight and crooked: slow and steep with much spin to fast and flat with little.
fn of_a_whole_bag() -> Vec<Launch> {
    (0..FLIGHTS)
        .map(|number| {
            let share = f64::from(number) / f64::from(FLIGHTS - 1);
            Launch {
                speed_mps: 35.0 + 40.0 * share,
                launch_angle_deg: 32.0 - 22.0 * share,
                azimuth_left_deg: f64::from(number % 9) - 4.0,
                spin_rpm: 9_500.0 - 7_000.0 * share,
                axis_tilt_right_deg: f64::from(number % 31) - 15.0,
            }
        })
        .collect()
}

fn bench_one_by_one(bencher: Bencher<'_, '_>, conditions: Conditions) {
    let launches = of_a_whole_bag();
    bencher.counter(ItemsCount::new(FLIGHTS)).bench_local(|| {
        launches
            .iter()
            .map(|launch| fly(launch, black_box(&conditions)).expect("it flies").landing.carry_m)
            .sum::<f64>()
    });
}

#[divan::bench]
fn carry_and_apex(bencher: Bencher<'_, '_>) {
    bench_one_by_one(bencher, Conditions::default());
}

#[divan::bench]
fn carry_and_apex_in_a_wind_with_shear(bencher: Bencher<'_, '_>) {
    let wind = Wind { toward_target_mps: -5.0, to_left_mps: 3.0, shear_exponent: Some(0.2) };
    bench_one_by_one(bencher, Conditions { wind, ..Conditions::default() });
}

#[divan::bench]
fn carry_and_apex_at_a_tolerance_of_1e_10(bencher: Bencher<'_, '_>) {
    let accuracy = Accuracy { relative: 1e-10, absolute: 1e-10 };
    bench_one_by_one(bencher, Conditions { accuracy, ..Conditions::default() });
}

#[divan::bench]
fn with_run(bencher: Bencher<'_, '_>) {
    let (launches, conditions) = (of_a_whole_bag(), Conditions::default());
    bencher.counter(ItemsCount::new(FLIGHTS)).bench_local(|| {
        launches
            .iter()
            .map(|launch| {
                let landing = fly(launch, black_box(&conditions)).expect("it flies").landing;
                run_out(&landing, &conditions.ball, &Ground::FAIRWAY).expect("it runs out").run_m()
            })
            .sum::<f64>()
    });
}

#[divan::bench]
fn with_a_hundred_points_of_the_way(bencher: Bencher<'_, '_>) {
    let (launches, conditions) = (of_a_whole_bag(), Conditions::default());
    bencher.counter(ItemsCount::new(FLIGHTS)).bench_local(|| {
        launches
            .iter()
            .map(|launch| {
                let way = fly_along(launch, black_box(&conditions)).expect("it flies");
                way.at_even_times(100).expect("a way has a hundred points").len()
            })
            .sum::<usize>()
    });
}

#[divan::bench]
fn on_all_cores(bencher: Bencher<'_, '_>) {
    let (launches, conditions) = (of_a_whole_bag(), Conditions::default());
    bencher
        .counter(ItemsCount::new(FLIGHTS))
        .bench_local(|| fly_many(black_box(&launches), black_box(&conditions)));
}
