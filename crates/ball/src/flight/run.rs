//! Bounce and run: what the ball does after it has landed. Rough by nature.
//!
//! In the upright plane the ball lands in: side spin is left out, all spin counts as backspin, and the run follows the
//! direction of landing. The ground gives way and so leans toward the ball, the more the faster and steeper it arrives.
//! Level, even ground of one kind; figures are worth [`RUN_KNOWN_WITHIN_SHARE`] at best.
//!
//! Published: Penner 2002, Can. J. Phys. 80, "The run of a golf ball" (from memory, not re-read). More than a thousand
//! bounces measured by Biber et al. 2023, Sports Engineering (abstract read), fit such models only fairly.

use super::error::{FlightError, within};
use super::{Ball, GRAVITY_MPS2, Landing, RAD_S_PER_RPM};

/// By what share a run may be wrong, either way. Judgement: see `docs/derivations/flight.md`.
pub const RUN_KNOWN_WITHIN_SHARE: f64 = 0.3;

/// Lean of the ground, degrees, at a speed (m/s) and an angle from the upright (degrees). Published: Penner 2002; from memory.
const LEAN: (f64, f64, f64) = (15.4, 18.6, 44.4);
/// Restitution against speed into the ground: 0.510 − 0.0375 v + 0.000903 v². Published: Penner 2002; from memory.
const RESTITUTION: (f64, f64, f64) = (0.510, 0.0375, 0.000_903);
/// Speed into the ground (m/s) above which restitution stays, and where it stays. Published: Penner 2002; from memory.
const RESTITUTION_STAYS: (f64, f64) = (20.0, 0.120);
/// A hop no higher than this is the last, m. Choice of the method.
const LAST_HOP_M: f64 = 0.005;
/// Landing speed above which the lean would pass the ball's own angle, so that the model says nothing, less room; m/s.
/// Derived: 18.6 · 44.4 / 15.4 = 53.6 m/s.
const FASTEST_MPS: f64 = 50.0;
/// Bounces after which the ball is taken to roll. Definition; a drive on a fairway makes some forty.
const MOST_BOUNCES: u32 = 1_000;

/// Ground the ball comes down on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// Friction between ball and ground in a bounce.
    pub friction: f64,
    /// How much of Penner's lean the ground shows: 1 as his green, 0 as concrete.
    pub lean_share: f64,
    /// Deceleration of a rolling ball as a share of gravity.
    pub rolling_resistance: f64,
}

impl Ground {
    /// A green. Published: Penner 2002 (from memory, not re-read); the rolling is that of a green of about 10 ft by the
    /// stimpmeter, common practice.
    pub const GREEN: Self = Self { friction: 0.40, lean_share: 1.00, rolling_resistance: 0.06 };
    /// A fairway. Derived: its lean was tuned so that the shot of the Overall Distance Standard ends at its limit. The
    /// rolling is an assumption.
    pub const FAIRWAY: Self = Self { friction: 0.40, lean_share: 0.96, rolling_resistance: 0.20 };

    /// Refuses what is no ground. Kind of the ranges: definition of what the tool takes.
    fn check(&self) -> Result<(), FlightError> {
        within("friction of the ground", self.friction, 0.0, 2.0, "")?;
        within("lean of the ground", self.lean_share, 0.0, 1.0, "")?;
        within("rolling resistance", self.rolling_resistance, 0.01, 2.0, "")
    }
}

/// A ball at the ground, in the upright plane it moves in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounce {
    /// Speed forward, m/s.
    pub forward_mps: f64,
    /// Speed upward, m/s; a ball that arrives has a negative one.
    pub up_mps: f64,
    /// Backspin, rad/s.
    pub backspin_rad_s: f64,
}

/// What a bounce makes of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AfterBounce {
    /// The ball as it leaves.
    pub ball: Bounce,
    /// Share of the speed into the ground that comes back.
    pub restitution: f64,
    /// How far the ground leaned toward the ball, degrees.
    pub lean_deg: f64,
    /// Friction it takes for the ball to leave rolling; negative for a ball that turns faster than it rolls.
    pub friction_to_roll: f64,
    /// Whether it leaves slipping.
    pub slides: bool,
}

/// Bounces a ball once.
///
/// `ball` falls: its `up_mps` is negative.
///
/// # Errors
/// [`FlightError::OutOfRange`] for a ball that is not falling or arrives faster than 50 m/s, spin or ground that cannot be.
pub fn bounce(ball: &Bounce, radius_m: f64, ground: &Ground) -> Result<AfterBounce, FlightError> {
    ground.check()?;
    within("radius of the ball", radius_m, 0.01, 0.04, "m")?;
    within("speed downward", -ball.up_mps, 0.0, FASTEST_MPS, "m/s")?;
    within("landing speed", ball.forward_mps.hypot(ball.up_mps), f64::MIN_POSITIVE, FASTEST_MPS, "m/s")?;
    within("backspin", ball.backspin_rad_s, -3_000.0, 3_000.0, "rad/s")?;
    Ok(bounced(ball, radius_m, ground))
}

/// The bounce in a frame that leans with the ground: φ angle of arrival from the upright, signed; t along, n into the ground.
fn bounced(ball: &Bounce, radius_m: f64, ground: &Ground) -> AfterBounce {
    let Bounce { forward_mps, up_mps, backspin_rad_s } = *ball;
    let speed_mps = (forward_mps * forward_mps + up_mps * up_mps).sqrt();
    let from_upright_deg = forward_mps.atan2(-up_mps).to_degrees();
    let (lean_deg, at_speed_mps, at_angle_deg) = LEAN;
    let lean_deg =
        ground.lean_share * lean_deg * (speed_mps / at_speed_mps) * (from_upright_deg / at_angle_deg);
    let (sin, cos) = lean_deg.to_radians().sin_cos();
    let along_mps = forward_mps * cos + up_mps * sin;
    let into_mps = forward_mps * sin - up_mps * cos;
    let restitution = restitution(into_mps);
    let slip_mps = along_mps + radius_m * backspin_rad_s;
    let friction_to_roll = 2.0 * slip_mps / (7.0 * (1.0 + restitution) * into_mps);
    let slides = ground.friction < friction_to_roll;
    let (along_after_mps, backspin_rad_s) = if slides {
        let lost_mps = ground.friction * (1.0 + restitution) * into_mps;
        (along_mps - lost_mps, backspin_rad_s - 2.5 * lost_mps / radius_m)
    } else {
        let rolling_mps = (5.0 * along_mps - 2.0 * radius_m * backspin_rad_s) / 7.0;
        (rolling_mps, -rolling_mps / radius_m)
    };
    let out_mps = restitution * into_mps;
    AfterBounce {
        ball: Bounce {
            forward_mps: along_after_mps * cos - out_mps * sin,
            up_mps: along_after_mps * sin + out_mps * cos,
            backspin_rad_s,
        },
        restitution,
        lean_deg,
        friction_to_roll,
        slides,
    }
}

fn restitution(into_mps: f64) -> f64 {
    let (stays_above_mps, stays_at) = RESTITUTION_STAYS;
    if into_mps > stays_above_mps {
        return stays_at;
    }
    let (at_rest, falls, bends) = RESTITUTION;
    at_rest - falls * into_mps + bends * into_mps * into_mps
}

/// What the ball does from its landing to where it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// How often it meets the ground, the last time included, after which it rolls.
    pub bounces: u32,
    /// Distance in hops, m; negative when they come back.
    pub bounce_m: f64,
    /// Distance rolled, m; negative when it rolls back.
    pub roll_m: f64,
}

impl Run {
    /// Returns the whole run, m. Show only this: the parts are the model's way of putting it, not what one sees.
    #[must_use]
    pub fn run_m(&self) -> f64 {
        self.bounce_m + self.roll_m
    }

    /// Returns where the ball lies, m toward the target and m to the left.
    #[must_use]
    pub fn rest_m(&self, landing: &Landing) -> (f64, f64) {
        let [x_mps, left_mps, _] = landing.velocity_mps;
        let level_mps = landing.level_speed_mps();
        if level_mps <= 0.0 {
            return (landing.carry_m, landing.left_m);
        }
        let share = self.run_m() / level_mps;
        (landing.carry_m + share * x_mps, landing.left_m + share * left_mps)
    }
}

/// Follows a ball from its landing until it lies: hops without air, then a roll.
///
/// # Errors
/// [`FlightError::OutOfRange`] for a landing faster than 50 m/s, which the model does not describe, or ground that cannot be.
pub fn run_out(landing: &Landing, ball: &Ball, ground: &Ground) -> Result<Run, FlightError> {
    ball.check()?;
    let mut at_ground = Bounce {
        forward_mps: landing.level_speed_mps(),
        up_mps: landing.velocity_mps[2],
        backspin_rad_s: landing.spin_rpm * RAD_S_PER_RPM,
    };
    let mut run = Run { bounces: 1, bounce_m: 0.0, roll_m: 0.0 };
    let mut leaving = bounce(&at_ground, ball.radius_m(), ground)?.ball;
    while leaving.up_mps * leaving.up_mps / (2.0 * GRAVITY_MPS2) >= LAST_HOP_M && run.bounces < MOST_BOUNCES {
        run.bounce_m += 2.0 * leaving.forward_mps * leaving.up_mps / GRAVITY_MPS2;
        at_ground = Bounce { up_mps: -leaving.up_mps, ..leaving };
        leaving = bounced(&at_ground, ball.radius_m(), ground).ball;
        run.bounces += 1;
    }
    run.roll_m =
        leaving.forward_mps * leaving.forward_mps.abs() / (2.0 * ground.rolling_resistance * GRAVITY_MPS2);
    Ok(run)
}
