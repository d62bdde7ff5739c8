//! What is read with balls besides their place: the slope is found again, whatever the unit and the day.
//!
//! Simulated readings, no real golfer. Every draw has a fixed seed.
#![expect(clippy::unwrap_used, reason = "a slope that cannot be told fails its test")]

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use trial::{Response, ResponseSlope, Responses, Strike, response_slopes};

const OFFSETS: [f64; 3] = [-0.5, 0.0, 0.5];

/// Twelve balls a day, four with each of three lengths; the reading moves by `slope` an inch, strays by `ball` from ball to
/// ball and by `day` from day to day.
fn read(
    response: Response,
    level: f64,
    slope: f64,
    [ball, day]: [f64; 2],
    seed: u64,
) -> Vec<(Strike, Responses)> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut normal = |sd: f64| -> f64 { sd * Distribution::<f64>::sample(&StandardNormal, &mut random) };
    let mut balls = Vec::new();
    for session in 1..=6 {
        let shift = normal(day);
        for order in 1..=12 {
            let offset_in = OFFSETS[usize::try_from(order % 3).unwrap()];
            let mut responses = Responses::default();
            responses.set(response, level + shift + slope * offset_in + normal(ball));
            balls.push((Strike { session, order, offset_in, x_mm: 0.0, y_mm: 0.0 }, responses));
        }
    }
    balls
}

fn slope_of(balls: &[(Strike, Responses)]) -> ResponseSlope {
    let slopes = response_slopes(balls);
    assert_eq!(slopes.len(), 1);
    slopes[0].1
}

/// The slope within days by least squares, a quarter inch; in closed form.
fn least_squares(balls: &[(Strike, Responses)], response: Response) -> f64 {
    let (mut along, mut square) = (0.0, 0.0);
    for session in 1..=6 {
        let day: Vec<(f64, f64)> = balls
            .iter()
            .filter(|(strike, _)| strike.session == session)
            .map(|(strike, responses)| (strike.offset_in, responses.get(response).unwrap()))
            .collect();
        let count = f64::from(u32::try_from(day.len()).unwrap());
        let mean = day.iter().map(|(_, value)| value).sum::<f64>() / count;
        let middle = day.iter().map(|(offset, _)| offset).sum::<f64>() / count;
        along += day.iter().map(|(offset, value)| (offset - middle) * (value - mean)).sum::<f64>();
        square += day.iter().map(|(offset, _)| (offset - middle).powi(2)).sum::<f64>();
    }
    along / square / 4.0
}

#[test]
fn a_slope_is_held_in_its_interval_as_often_as_it_says_and_lies_where_least_squares_has_it() {
    // head speed: 0.34 m/s an inch, balls stray by 0.6, days by 0.8
    let (mut held, mut worst) = (0, 0.0_f64);
    for seed in 0..200 {
        let balls = read(Response::HeadSpeed, 36.0, 0.34, [0.6, 0.8], seed);
        let slope = slope_of(&balls);
        held += u32::from((slope.tenth..=slope.ninetieth).contains(&0.085));
        let off = slope.mean - least_squares(&balls, Response::HeadSpeed);
        worst = worst.max(off.abs() / ((slope.ninetieth - slope.tenth) / 2.0));
        assert_eq!(slope.balls, 72);
    }
    // 80 in 100 are meant; the days' own slopes are thought likely, which these days have not, so more are held
    assert!((152..=198).contains(&held), "{held} of 200");
    assert!(worst < 0.35, "{worst} of half the interval");
}

#[test]
fn unit_and_level_change_nothing_but_the_unit() {
    let balls = read(Response::Carry, 140.0, 1.2, [5.0, 3.0], 7);
    let slope = slope_of(&balls);
    let in_yards: Vec<(Strike, Responses)> = balls
        .iter()
        .map(|(strike, responses)| {
            let mut yards = Responses::default();
            yards.set(Response::Carry, responses.carry_m.unwrap() / 0.9144 + 20.0);
            (*strike, yards)
        })
        .collect();
    let told = slope_of(&in_yards);
    for (yards, metres) in
        [(told.mean, slope.mean), (told.tenth, slope.tenth), (told.ninetieth, slope.ninetieth)]
    {
        assert!((yards * 0.9144 - metres).abs() < 1e-6, "{yards} yd, {metres} m");
    }
}

#[test]
fn what_tells_nothing_is_left_out() {
    type Balls = Vec<(Strike, Responses)>;
    let told = |change: &dyn Fn(&mut Balls)| {
        let mut balls = read(Response::Tempo, 3.0, 0.1, [0.2, 0.1], 3);
        change(&mut balls);
        response_slopes(&balls).len()
    };
    assert_eq!(told(&|_| {}), 1);
    assert_eq!(told(&|balls| balls.truncate(11)), 0, "eleven balls");
    assert_eq!(told(&|balls| balls.retain(|(strike, _)| strike.offset_in > 0.25)), 0, "one length");
    assert_eq!(
        told(&|balls| balls.iter_mut().for_each(|ball| ball.1 = Responses::default())),
        0,
        "none read"
    );
    assert_eq!(told(&|balls| balls.iter_mut().for_each(|ball| ball.1.tempo = Some(3.0))), 0, "all alike");
}

#[test]
fn what_no_person_does_is_refused() {
    for (response, value) in [
        (Response::HeadSpeed, 90.0),
        (Response::BallSpeed, f64::NAN),
        (Response::Carry, -3.0),
        (Response::Tempo, f64::INFINITY),
    ] {
        let mut responses = Responses::default();
        responses.set(response, value);
        let refused = responses.check().unwrap_err().to_string();
        assert!(refused.contains(response.words()), "{refused}");
    }
}
