//! The way of the ball: its highest point, where it comes down, and points of the path for drawing.
//!
//! Apex and landing are found on the integrator's polynomial between steps: the apex where the ball stops climbing, the
//! landing where it falls through the target's height.

use super::dormand_prince::{DenseStep, Integration};
use super::error::FlightError;
use super::motion::{CLIMB, HEIGHT, Motion, State};
use super::{Conditions, Launch, RAD_S_PER_RPM};

/// First step tried, s; the next follow from the error. Choice of the method.
const FIRST_STEP_S: f64 = 0.02;
/// Longest step, s, so that a step never holds more than one turn of the height. Choice of the method.
const LONGEST_STEP_S: f64 = 1.0;
/// Longest flight that is followed, s. Definition of what the tool takes.
const MOST_S: f64 = 120.0;
/// Most steps tried. Definition of what the tool takes; a drive takes some thirty.
const MOST_STEPS: usize = 20_000;
/// Points of a path that are given at least and at most. Definition of what the tool takes.
const PATH_POINTS: (usize, usize) = (2, 10_000);
/// Pieces each step is cut into when its length is measured. Choice of the method.
const PIECES: u32 = 32;

/// The highest point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apex {
    /// Height above the tee, m.
    pub height_m: f64,
    /// Distance toward the target, m.
    pub x_m: f64,
    /// Distance to the left, m.
    pub left_m: f64,
    /// Time, s.
    pub time_s: f64,
}

/// The ball as it comes down through the target's height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Landing {
    /// Distance along the target line, m: not the distance from the tee, when the ball is off line.
    pub carry_m: f64,
    /// Distance to the left of the target line, m.
    pub left_m: f64,
    /// Time in the air, s.
    pub time_s: f64,
    /// Angle below the level, degrees.
    pub angle_deg: f64,
    /// Velocity toward the target, to the left and up, m/s.
    pub velocity_mps: [f64; 3],
    /// Spin left, rev/min.
    pub spin_rpm: f64,
}

impl Landing {
    /// Returns the speed, m/s.
    #[must_use]
    pub fn speed_mps(&self) -> f64 {
        let [x, left, up] = self.velocity_mps;
        (x * x + left * left + up * up).sqrt()
    }

    /// Returns the speed over the ground, m/s.
    #[must_use]
    pub fn level_speed_mps(&self) -> f64 {
        let [x, left, _] = self.velocity_mps;
        x.hypot(left)
    }
}

/// What a flight comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flown {
    /// Its highest point.
    pub apex: Apex,
    /// Where and how it comes down.
    pub landing: Landing,
}

/// The ball at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Time since the launch, s.
    pub time_s: f64,
    /// Place toward the target, to the left and up from the tee, m.
    pub place_m: [f64; 3],
    /// Velocity toward the target, to the left and up, m/s.
    pub velocity_mps: [f64; 3],
    /// Spin, rev/min.
    pub spin_rpm: f64,
}

impl Moment {
    fn of(time_s: f64, state: &State) -> Self {
        let [x, left, up, vx, vy, vz, spin_rad_s] = state.data.0[0];
        Self {
            time_s,
            place_m: [x, left, up],
            velocity_mps: [vx, vy, vz],
            spin_rpm: spin_rad_s / RAD_S_PER_RPM,
        }
    }
}

/// A flight with all that lies between launch and landing.
#[derive(Debug, Clone, PartialEq)]
pub struct Trajectory {
    flown: Flown,
    steps: Vec<DenseStep<7>>,
}

impl Trajectory {
    /// Returns apex and landing.
    #[must_use]
    pub fn flown(&self) -> &Flown {
        &self.flown
    }

    /// Returns the ball at a time; before the launch and after the landing it is where it was then.
    #[must_use]
    pub fn at_time(&self, time_s: f64) -> Moment {
        let time_s = time_s.clamp(0.0, self.flown.landing.time_s);
        let later = self.steps.partition_point(|step| step.end_s() < time_s);
        let step = &self.steps[later.min(self.steps.len() - 1)];
        Moment::of(time_s, &step.at(time_s))
    }

    /// Returns so many points at even times, launch and landing among them.
    ///
    /// # Errors
    /// [`FlightError::PathPoints`] for fewer than 2 or more than 10,000 points.
    pub fn at_even_times(&self, points: usize) -> Result<Vec<Moment>, FlightError> {
        Ok(even_shares(points)?.map(|share| self.at_time(share * self.flown.landing.time_s)).collect())
    }

    /// Returns so many points at even distances along the path, launch and landing among them.
    ///
    /// The way between two neighbours is even to about a thousandth, which is what a drawing asks.
    ///
    /// # Errors
    /// [`FlightError::PathPoints`] for fewer than 2 or more than 10,000 points.
    pub fn at_even_distances(&self, points: usize) -> Result<Vec<Moment>, FlightError> {
        let measured = self.length_over_time();
        let whole_m = measured.last().map_or(0.0, |last| last.1);
        Ok(even_shares(points)?
            .map(|share| self.at_time(time_at_length(&measured, share * whole_m)))
            .collect())
    }

    /// Times with the length of the path up to them, by chords.
    fn length_over_time(&self) -> Vec<(f64, f64)> {
        let landing_s = self.flown.landing.time_s;
        let mut measured = vec![(0.0, 0.0)];
        let (mut length_m, mut before) = (0.0, self.at_time(0.0).place_m);
        for step in &self.steps {
            let end_s = step.end_s().min(landing_s);
            for piece in 1..=PIECES {
                let time_s = step.start_s + (end_s - step.start_s) * f64::from(piece) / f64::from(PIECES);
                let state = step.at(time_s);
                let place = [state[0], state[1], state[2]];
                length_m += distance_m(&before, &place);
                measured.push((time_s, length_m));
                before = place;
            }
        }
        measured
    }
}

fn distance_m(from: &[f64; 3], to: &[f64; 3]) -> f64 {
    from.iter().zip(to).map(|(from, to)| (to - from) * (to - from)).sum::<f64>().sqrt()
}

fn time_at_length(measured: &[(f64, f64)], length_m: f64) -> f64 {
    let later = measured.partition_point(|(_, length)| *length < length_m).clamp(1, measured.len() - 1);
    let ((t0, l0), (t1, l1)) = (measured[later - 1], measured[later]);
    if l1 > l0 { t0 + (t1 - t0) * (length_m - l0) / (l1 - l0) } else { t0 }
}

/// Shares from 0 to 1, both among them.
fn even_shares(points: usize) -> Result<impl Iterator<Item = f64>, FlightError> {
    let (least, most) = PATH_POINTS;
    let count = u32::try_from(points).ok().filter(|_| (least..=most).contains(&points));
    let count = count.ok_or(FlightError::PathPoints { found: points, least, most })?;
    Ok((0..count).map(move |point| f64::from(point) / f64::from(count - 1)))
}

/// Flies a ball and returns its apex and its landing.
///
/// # Errors
/// [`FlightError`] for numbers that cannot be meant, a ball that does not rise, and a target it does not reach.
pub fn fly(launch: &Launch, conditions: &Conditions) -> Result<Flown, FlightError> {
    follow(launch, conditions, |_| {})
}

/// Flies a ball and returns its whole way; apex and landing are those of [`fly`], bit for bit.
///
/// # Errors
/// As [`fly`].
pub fn fly_along(launch: &Launch, conditions: &Conditions) -> Result<Trajectory, FlightError> {
    let mut steps = Vec::new();
    let flown = follow(launch, conditions, |step| steps.push(step))?;
    Ok(Trajectory { flown, steps })
}

/// Integrates until the ball is down.
///
/// 1. Numbers that cannot be meant, and a ball that starts into the ground, are refused.
/// 2. Each step is cut where the ball stops climbing or falling, so that its height goes one way in each section.
/// 3. A section that starts above the target and ends below it holds the landing.
fn follow(
    launch: &Launch,
    conditions: &Conditions,
    mut keep: impl FnMut(DenseStep<7>),
) -> Result<Flown, FlightError> {
    launch.check()?;
    conditions.check()?;
    let motion = Motion::new(launch, conditions);
    let target_m = conditions.landing_height_m;
    let never_rises =
        FlightError::NeverRises { launch_angle_deg: launch.launch_angle_deg, landing_height_m: target_m };
    let start = Motion::start(launch);
    let climbs = start[CLIMB] > 0.0 || (start[CLIMB] >= 0.0 && motion.slope_at(&start)[CLIMB] > 0.0);
    if target_m >= 0.0 && !climbs {
        return Err(never_rises);
    }
    let mut apex = apex_at(0.0, &start);
    let mut run = Integration::new(
        |state: &State| motion.slope_at(state),
        start,
        conditions.accuracy,
        FIRST_STEP_S,
        LONGEST_STEP_S,
    );
    let mut time_s = 0.0;
    while time_s < MOST_S {
        let Some(step) = run.advance(MOST_STEPS) else { break };
        time_s = step.end_s();
        for (from_s, to_s) in sections(&step) {
            let (from, to) = (step.component(HEIGHT, from_s), step.component(HEIGHT, to_s));
            if to > apex.height_m {
                apex = apex_at(to_s, &step.at(to_s));
            }
            if from >= target_m && to < target_m {
                let down_s = crossing(from_s, to_s, |time_s| step.component(HEIGHT, time_s) > target_m);
                let landing = landing_at(down_s, &step.at(down_s));
                keep(step);
                return Ok(Flown { apex, landing });
            }
        }
        if step.component(HEIGHT, time_s) < target_m.min(0.0) && step.component(CLIMB, time_s) < 0.0 {
            return Err(if target_m > 0.0 {
                FlightError::TargetAboveApex { apex_m: apex.height_m, landing_height_m: target_m }
            } else {
                never_rises
            });
        }
        keep(step);
    }
    Err(FlightError::StaysUp { most_s: MOST_S, steps: run.tried, time_s })
}

/// The parts of a step in which the height goes one way.
fn sections(step: &DenseStep<7>) -> impl Iterator<Item = (f64, f64)> + use<> {
    let (from_s, to_s) = (step.start_s, step.end_s());
    let (before, after) = (step.component(CLIMB, from_s), step.component(CLIMB, to_s));
    let turn_s = (before * after < 0.0)
        .then(|| crossing(from_s, to_s, |time_s| (step.component(CLIMB, time_s) > 0.0) == (before > 0.0)));
    let first = (from_s, turn_s.unwrap_or(to_s));
    std::iter::once(first).chain(turn_s.map(|turn_s| (turn_s, to_s)))
}

/// The last moment, to rounding, at which `still` holds, by halving.
fn crossing(mut from_s: f64, mut to_s: f64, still: impl Fn(f64) -> bool) -> f64 {
    loop {
        let middle_s = f64::midpoint(from_s, to_s);
        if middle_s <= from_s || middle_s >= to_s {
            return to_s;
        }
        if still(middle_s) { from_s = middle_s } else { to_s = middle_s }
    }
}

fn apex_at(time_s: f64, state: &State) -> Apex {
    Apex { height_m: state[HEIGHT], x_m: state[0], left_m: state[1], time_s }
}

fn landing_at(time_s: f64, state: &State) -> Landing {
    let Moment { place_m: [carry_m, left_m, _], velocity_mps, spin_rpm, .. } = Moment::of(time_s, state);
    let mut landing = Landing { carry_m, left_m, time_s, angle_deg: 0.0, velocity_mps, spin_rpm };
    landing.angle_deg = (-velocity_mps[2] / landing.speed_mps()).asin().to_degrees();
    landing
}
