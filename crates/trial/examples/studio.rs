//! The studio's rule on simulated studios: `cargo run --release -p trial --example studio [STUDIOS]` prints the table of
//! `docs/derivations/studio-rule.md`; seeds are fixed, so every run prints the same.
#![expect(clippy::print_stdout, reason = "the table is its result")]

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use rayon::prelude::*;
use trial::{Learnt, Profile, Strike, Strikes, StudioRule, Tried, WhyTried};

/// Intercept, slope and spread of the truth, in; habit, mm.
const TRUTH: [f64; 4] = [0.10, 0.030, 0.25, 2.0];
/// Slopes of a golfer who makes nothing up, mm per inch: 25.4 times cosine and sine of a lie of 62 degrees.
const SLOPES: [f64; 2] = [-11.92, 22.43];

/// How slopes and restlessness come about.
#[derive(Clone, Copy)]
enum Golfers {
    /// A share of the length is made up, evenly between two; balls scatter by 8 and 6 mm, days by 3 and 2.5 mm and by
    /// 2 mm per inch.
    MadeUp(f64, f64),
    /// As the model has it: slopes, scatter and restlessness from its own priors.
    OfTheModel,
}

/// Who comes to be tried.
#[derive(Clone, Copy, PartialEq)]
enum Chosen {
    Everyone,
    /// Those whose length seems off by more than a quarter inch, told to 0.25 in.
    Doubtful,
    /// Those whose length seems too short by more than a quarter inch.
    TooShort,
}

#[derive(Clone, Copy)]
struct Cell {
    name: &'static str,
    golfers: Golfers,
    visits: u32,
    /// How far the sweet spot of every head is marked off, mm toward the toe and up.
    marked_off: [f64; 2],
    chosen: Chosen,
}

const USUAL: Cell = Cell {
    name: "10 to 90 % made up",
    golfers: Golfers::MadeUp(0.1, 0.9),
    visits: 2,
    marked_off: [0.0, 0.0],
    chosen: Chosen::Everyone,
};

fn normal(random: &mut ChaCha8Rng) -> f64 {
    StandardNormal.sample(random)
}

fn golfer(cell: &Cell, random: &mut ChaCha8Rng) -> (f64, f64) {
    loop {
        let knuckle = 2.0 * normal(random);
        let fit_in = TRUTH[0] + TRUTH[1] * knuckle + TRUTH[2] * normal(random);
        let seems = fit_in + 0.25 * normal(random);
        let is_tried = match cell.chosen {
            Chosen::Everyone => true,
            Chosen::Doubtful => seems.abs() > 0.25,
            Chosen::TooShort => seems > 0.25,
        };
        if is_tried {
            return (knuckle, fit_in);
        }
    }
}

/// Slope, scatter of balls, and of days' levels and slopes.
fn line(golfers: Golfers, share: f64, axis: usize, random: &mut ChaCha8Rng) -> [f64; 4] {
    match golfers {
        Golfers::MadeUp(..) => [SLOPES[axis] * (1.0 - share), [8.0, 6.0][axis], [3.0, 2.5][axis], 2.0],
        Golfers::OfTheModel => [
            15.0 * normal(random),
            (7.0_f64.ln() + 0.5 * normal(random)).exp().clamp(4.0, 16.0),
            4.0 * normal(random).abs(),
            3.0 * normal(random).abs(),
        ],
    }
}

fn strikes(cell: &Cell, fit_in: f64, random: &mut ChaCha8Rng) -> Strikes {
    let share = match cell.golfers {
        Golfers::MadeUp(low, high) if low < high => random.random_range(low..high),
        Golfers::MadeUp(share, _) => share,
        Golfers::OfTheModel => 0.0,
    };
    let mut balls: Vec<Strike> = (0..40 * cell.visits)
        .map(|ball| Strike {
            session: 1 + ball / 40,
            order: 1 + ball % 40,
            offset_in: f64::from(ball % 5) / 4.0 - 0.5,
            x_mm: 0.0,
            y_mm: 0.0,
        })
        .collect();
    for axis in 0..2 {
        let [slope, ball_sd, day_level_sd, day_slope_sd] = line(cell.golfers, share, axis, random);
        let level = TRUTH[3] * normal(random) - slope * fit_in - cell.marked_off[axis];
        for session in 1..=cell.visits {
            let (day_level, day_slope) = (day_level_sd * normal(random), day_slope_sd * normal(random));
            for ball in balls.iter_mut().filter(|ball| ball.session == session) {
                let at = level + day_level + (slope + day_slope) * ball.offset_in + ball_sd * normal(random);
                let place = if axis == 0 { &mut ball.x_mm } else { &mut ball.y_mm };
                *place = ((at * 10.0).round() / 10.0).clamp(-80.0, 80.0);
            }
        }
    }
    Strikes::new(balls).expect("invented strikes are within what people do")
}

fn studio(cell: &Cell, golfers: u64, seed: u64) -> [Learnt; 4] {
    let golfers: Vec<Tried> = (0..golfers)
        .into_par_iter()
        .map(|place| {
            let mut random = ChaCha8Rng::seed_from_u64(seed * 1_000_000 + place);
            let (knuckle_above_anchor_in, fit_in) = golfer(cell, &mut random);
            let profile = Profile::of(&strikes(cell, fit_in, &mut random));
            Tried { profile, knuckle_above_anchor_in, why: WhyTried::NotSaid }
        })
        .collect();
    let rule = StudioRule::learn(&golfers).expect("knuckles are within what is taken");
    [rule.intercept_in, rule.slope, rule.spread_in, rule.habit_mm]
}

fn main() {
    let studios: u64 = std::env::args().nth(1).and_then(|count| count.parse().ok()).unwrap_or(10);
    println!("Mean of what is learnt, ± the sd stated (sd over {studios} studios).\n");
    println!(
        "| studio | golfers | intercept, in | slope | spread, in | habit, mm |\n|---|---|---|---|---|---|"
    );
    let made_up = |name, low, high| Cell { name, golfers: Golfers::MadeUp(low, high), ..USUAL };
    let off = |name, cell: Cell, marked_off| Cell { name, marked_off, ..cell };
    let third = made_up("30 % made up", 0.3, 0.3);
    let most = made_up("60 % made up", 0.6, 0.6);
    for (cell, golfers) in [
        (Cell { name: "as the model has it", golfers: Golfers::OfTheModel, ..USUAL }, 400),
        (USUAL, 25),
        (USUAL, 100),
        (USUAL, 400),
        (Cell { name: "10 to 90 %, six visits", visits: 6, ..USUAL }, 400),
        (third, 400),
        (most, 400),
        (off("30 %, marked 1 mm low", third, [0.0, -1.0]), 400),
        (off("60 %, marked 1 mm low", most, [0.0, -1.0]), 400),
        (off("10 to 90 %, marked 1 mm low", USUAL, [0.0, -1.0]), 400),
        (off("10 to 90 %, marked 1 mm heelward", USUAL, [-1.0, 0.0]), 400),
        (Cell { name: "10 to 90 %, doubtful only", chosen: Chosen::Doubtful, ..USUAL }, 400),
        (Cell { name: "10 to 90 %, too short only", chosen: Chosen::TooShort, ..USUAL }, 400),
    ] {
        let learnt: Vec<[Learnt; 4]> = (1..=studios).map(|seed| studio(&cell, golfers, seed)).collect();
        let cells: Vec<String> = (0..4)
            .map(|which| {
                let mean = |of: &dyn Fn(&Learnt) -> f64| -> f64 {
                    let (sum, count) = learnt
                        .iter()
                        .fold((0.0, 0.0), |(sum, count), all| (sum + of(&all[which]), count + 1.0));
                    sum / count
                };
                let middle = mean(&|learnt| learnt.mean);
                let apart = mean(&|learnt| (learnt.mean - middle).powi(2)).sqrt();
                let digits = [3, 4, 3, 2][which];
                format!("{middle:.digits$} ± {:.digits$} ({apart:.digits$})", mean(&|learnt| learnt.sd))
            })
            .collect();
        println!("| {} | {golfers} | {} |", cell.name, cells.join(" | "));
    }
}
