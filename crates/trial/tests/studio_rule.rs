//! Simulated studios whose truth is known: the rule is 0.10 in short at its anchor and rises 0.030 in too slowly an inch
//! of knuckle height, golfers lie about the right rule with 0.25 in, habits with 2 mm.
#![expect(clippy::unwrap_used, reason = "a simulated studio that cannot be made has nothing to test")]

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use rayon::prelude::*;
use trial::{
    FEWEST_GOLFERS, FIT_PLACES, HABIT_SDS_MM, INTERCEPT_SD_IN, Learnt, LengthBelief, NUMBERS, Profile,
    SLOPE_ERROR_SD, SLOPE_SD, Strike, Strikes, StudioRule, TrialError, Tried, WhyTried, fit_place_in,
};

const INTERCEPT_IN: f64 = 0.10;
const SLOPE: f64 = 0.030;
const SPREAD_IN: f64 = 0.25;
const HABIT_MM: f64 = 2.0;

fn normal(random: &mut ChaCha8Rng) -> f64 {
    StandardNormal.sample(random)
}

/// Knuckle height above the anchor and the length that fits.
fn golfer(random: &mut ChaCha8Rng) -> (f64, f64) {
    let knuckle = 2.0 * normal(random);
    (knuckle, INTERCEPT_IN + SLOPE * knuckle + SPREAD_IN * normal(random))
}

/// Two days of forty balls over five lengths. Slopes are as the model expects them: golfers who make up more of a length
/// have their spread read low, which `examples/studio.rs` shows and a test of the working would confound.
fn strikes(fit_in: f64, random: &mut ChaCha8Rng) -> Strikes {
    let mut balls: Vec<Strike> = (0..80_u32)
        .map(|ball| Strike {
            session: 1 + ball / 40,
            order: 1 + ball % 40,
            offset_in: f64::from(ball % 5) / 4.0 - 0.5,
            x_mm: 0.0,
            y_mm: 0.0,
        })
        .collect();
    for (ball_sd, day_sd, is_high) in [(8.0, 3.0, false), (6.0, 2.5, true)] {
        let slope = SLOPE_SD * normal(random);
        let level = HABIT_MM * normal(random) - slope * fit_in;
        for session in 1..=2 {
            let (day_level, day_slope) = (day_sd * normal(random), 2.0 * normal(random));
            for ball in balls.iter_mut().filter(|ball| ball.session == session) {
                let at = level + day_level + (slope + day_slope) * ball.offset_in + ball_sd * normal(random);
                let place = if is_high { &mut ball.y_mm } else { &mut ball.x_mm };
                *place = (at * 10.0).round() / 10.0;
            }
        }
    }
    Strikes::new(balls).unwrap()
}

fn studio(golfers: std::ops::Range<u64>) -> Vec<Tried> {
    golfers
        .into_par_iter()
        .map(|seed| {
            let mut random = ChaCha8Rng::seed_from_u64(20_261_125 + seed);
            let (knuckle_above_anchor_in, fit_in) = golfer(&mut random);
            let profile = Profile::of(&strikes(fit_in, &mut random));
            Tried { profile, knuckle_above_anchor_in, why: WhyTried::Everyone }
        })
        .collect()
}

/// A golfer whose strikes say that `read_in` fits, give or take `sd_in`, and nothing of habits: no strikes are
/// simulated.
fn read(knuckle_above_anchor_in: f64, read_in: f64, sd_in: f64) -> Tried {
    let row = (0..FIT_PLACES).map(|place| -0.5 * ((fit_place_in(place) - read_in) / sd_in).powi(2));
    let numbers: Vec<f64> = HABIT_SDS_MM.iter().flat_map(|_| row.clone()).collect();
    Tried { profile: Profile::from_numbers(&numbers).unwrap(), knuckle_above_anchor_in, why: WhyTried::Asked }
}

fn read_studio(golfers: u32, seed: u64) -> Vec<Tried> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    (0..golfers)
        .map(|_| {
            let (knuckle, fit_in) = golfer(&mut random);
            let sd_in = random.random_range(0.1..0.5);
            read(knuckle, fit_in + sd_in * normal(&mut random), sd_in)
        })
        .collect()
}

fn off(learnt: Learnt, truth: f64) -> f64 {
    (learnt.mean - truth).abs() / learnt.sd
}

#[test]
fn studios_of_strikes_find_the_truth_within_what_they_state() {
    for golfers in [0..25, 25..125, 0..400] {
        let golfers = studio(golfers);
        let (count, rule) = (golfers.len(), StudioRule::learn(&golfers).unwrap());
        for (learnt, truth) in [
            (rule.intercept_in, INTERCEPT_IN),
            (rule.slope, SLOPE),
            (rule.spread_in, SPREAD_IN),
            (rule.habit_mm, HABIT_MM),
        ] {
            assert!(off(learnt, truth) < 3.0, "{count}: {learnt:?} for {truth}");
            assert!(learnt.low < learnt.mean && learnt.mean < learnt.high);
        }
        assert_eq!(rule.may_speak(), count >= FEWEST_GOLFERS);
    }
}

#[test]
fn the_interval_of_80_in_100_holds_the_truth_70_to_90_times() {
    // 25 golfers a studio, profiles made directly as normal likelihoods; 120 studios: the share repeats to 4 in 100
    let studios: u32 = 120;
    let held: Vec<[bool; 3]> = (0..u64::from(studios))
        .into_par_iter()
        .map(|seed| {
            let rule = StudioRule::learn(&read_studio(25, seed)).unwrap();
            [(rule.intercept_in, INTERCEPT_IN), (rule.slope, SLOPE), (rule.spread_in, SPREAD_IN)]
                .map(|(learnt, truth)| (learnt.low..=learnt.high).contains(&truth))
        })
        .collect();
    for which in 0..3 {
        let share =
            held.iter().map(|held| f64::from(u8::from(held[which]))).sum::<f64>() / f64::from(studios);
        assert!((0.7..=0.9).contains(&share), "{which}: {share}");
    }
}

#[test]
fn golfers_about_whom_length_says_nothing_change_nothing() {
    let golfers = read_studio(40, 1);
    let alone = StudioRule::learn(&golfers).unwrap();
    let flat = Profile::from_numbers(&[-312.5; NUMBERS]).unwrap();
    let silent = (0..70_u32).map(|place| Tried {
        profile: flat.clone(),
        knuckle_above_anchor_in: f64::from(place % 9) - 4.0,
        why: WhyTried::Asked,
    });
    let with = StudioRule::learn(&golfers.iter().cloned().chain(silent).collect::<Vec<_>>()).unwrap();
    let learnt = |rule: &StudioRule| {
        (rule.intercept_in, rule.slope, rule.spread_in, rule.habit_mm, rule.intercept_with_slope)
    };
    assert_eq!(learnt(&with), learnt(&alone));
    // nor do they make up the hundred
    assert_eq!((with.golfers, with.telling, with.may_speak()), (110, 40, false));
}

#[test]
fn the_order_of_golfers_changes_no_bit() {
    let golfers = read_studio(60, 2);
    let rule = StudioRule::learn(&golfers).unwrap();
    let mut random = ChaCha8Rng::seed_from_u64(3);
    for _ in 0..3 {
        let mut shuffled = golfers.clone();
        for place in (1..shuffled.len()).rev() {
            shuffled.swap(place, random.random_range(0..=place));
        }
        assert_ne!(shuffled, golfers);
        assert_eq!(StudioRule::learn(&shuffled).unwrap(), rule);
    }
}

#[test]
fn without_golfers_there_is_what_was_assumed() {
    let rule = StudioRule::learn(&[]).unwrap();
    assert!(rule.intercept_in.mean.abs() < 1e-12 && (rule.intercept_in.sd - INTERCEPT_SD_IN).abs() < 1e-9);
    assert!(rule.slope.mean.abs() < 1e-12 && (rule.slope.sd - SLOPE_ERROR_SD).abs() < 1e-9);
    // published: a normal's 90 in 100 quantile is 1.281552
    assert!(
        (rule.slope.high - 1.281_552 * SLOPE_ERROR_SD).abs() < 1e-6
            && (rule.slope.high + rule.slope.low).abs() < 1e-9
    );
    // flat from 1 to 5 mm: mean 3, standard deviation 4 / sqrt(12)
    assert!(
        (rule.habit_mm.mean - 3.0).abs() < 1e-9 && (rule.habit_mm.sd - 4.0 / 12.0_f64.sqrt()).abs() < 1e-3
    );
    // derived: a half-normal of scale s cut to a..b has the mean s·(φ(a/s) − φ(b/s))/(Φ(b/s) − Φ(a/s)); 0.2953 here
    assert!((rule.spread_in.mean - 0.2953).abs() < 1e-3, "{}", rule.spread_in.mean);
    assert_eq!(rule.knuckles_in, None);
}

#[test]
fn golfers_that_are_known_well_give_the_regression_done_by_hand() {
    // every fit is read to 0.06 in, so errors and spread are those of a straight line through the readings
    let (mut golfers, mut sums) = (Vec::new(), [0.0; 5]);
    let mut random = ChaCha8Rng::seed_from_u64(5);
    for _ in 0..2_000 {
        let (z, fit_in) = golfer(&mut random);
        let y = fit_in.clamp(-1.0, 1.0);
        golfers.push(read(z, y, 0.06));
        for (sum, term) in sums.iter_mut().zip([1.0, z, z * z, y, z * y]) {
            *sum += term;
        }
    }
    let [n, z, zz, y, zy] = sums;
    let slope = (n * zy - z * y) / (n * zz - z * z);
    let intercept = (y - slope * z) / n;
    let squares: f64 = golfers
        .iter()
        .map(|golfer| {
            let row = golfer.profile.of_habit(0);
            let best = (0..FIT_PLACES).max_by(|one, other| row[*one].total_cmp(&row[*other])).unwrap();
            // the vertex of the parabola through three places
            let (left, right) = (row[best - 1] - row[best], row[best + 1] - row[best]);
            let read_in = fit_place_in(best) + 0.025 * (left - right) / (left + right);
            (read_in - intercept - slope * golfer.knuckle_above_anchor_in).powi(2)
        })
        .sum();
    let spread = (squares / (n - 2.0) - 0.06 * 0.06).sqrt();
    let rule = StudioRule::learn(&golfers).unwrap();
    // the priors pull by (sd / prior sd)², under 0.001 of the error; interpolation and the cut at 1.5 in do less
    assert!((rule.intercept_in.mean - intercept).abs() < 2e-4, "{:?} {intercept}", rule.intercept_in);
    assert!((rule.slope.mean - slope).abs() < 2e-4, "{:?} {slope}", rule.slope);
    assert!((rule.spread_in.mean - spread).abs() < 5e-4, "{:?} {spread}", rule.spread_in);
    // the scatter of an estimated standard deviation: that of all readings over sqrt(2n), times all over spread
    let all = (spread * spread + 0.06 * 0.06).sqrt();
    assert!(
        (rule.spread_in.sd / (all * all / spread / (2.0 * n).sqrt()) - 1.0).abs() < 0.05,
        "{:?}",
        rule.spread_in
    );
}

#[test]
fn numbers_that_cannot_be_meant_are_refused() {
    for knuckle in [f64::NAN, f64::INFINITY, 28.0 * 25.4] {
        let golfer = read(knuckle, 0.1, 0.2);
        assert!(matches!(StudioRule::learn(&[golfer]), Err(TrialError::BadSetting { .. })));
    }
}

#[test]
fn a_hundred_golfers_make_a_belief_and_doubtful_ones_a_warning() {
    let mut golfers = read_studio(100, 7);
    let rule = StudioRule::learn(&golfers[..99]).unwrap();
    assert_eq!(rule.errors(), Err(TrialError::TooFewGolfers { found: 99, fewest: 100 }));
    let rule = StudioRule::learn(&golfers).unwrap();
    assert!(rule.may_speak() && !rule.is_mostly_doubtful());
    let LengthBelief::Rule { mean_in, sd_in } = rule.errors().unwrap().belief(2.0).unwrap() else {
        panic!("a rule is a rule")
    };
    assert!((mean_in - (rule.intercept_in.mean + 2.0 * rule.slope.mean)).abs() < 1e-12);
    // spread of golfers and doubt about the rule together
    assert!(sd_in > rule.spread_in.mean && sd_in < rule.spread_in.mean + 0.05, "{sd_in}");
    assert!(matches!(rule.errors().unwrap().belief(f64::NAN), Err(TrialError::BadSetting { .. })));
    for golfer in &mut golfers[..51] {
        golfer.why = WhyTried::Doubtful;
    }
    let rule = StudioRule::learn(&golfers).unwrap();
    assert!(rule.is_mostly_doubtful());
    assert_eq!(rule.by_reason, [51, 49, 0, 0]);
    golfers[0].why = WhyTried::NotSaid;
    assert!(!StudioRule::learn(&golfers).unwrap().is_mostly_doubtful());
}
