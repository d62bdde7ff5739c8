//! Ball, air, wind and target as the questions about a ball in the air ask for them.

use crate::failure::Failure;
use ball::flight::{Air, Ball, Conditions, Ground, Run, Weather, Wind, pressure_at_altitude_pa, run_out};
use ball::flight::{Landing, RUN_KNOWN_WITHIN_SHARE};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Ground the ball comes down on.
#[derive(Deserialize, JsonSchema, Clone, Copy)]
#[serde(rename_all = "lowercase")]
pub(super) enum Surface {
    Fairway,
    Green,
}

/// What every question about a ball in the air takes beside its own keys.
pub(super) struct Asked {
    pub(super) temp_c: Option<f64>,
    pub(super) pressure_pa: Option<f64>,
    pub(super) altitude_m: Option<f64>,
    pub(super) humidity: Option<f64>,
    pub(super) wind_mps: [f64; 2],
    pub(super) wind_shear: Option<f64>,
    pub(super) ball_g: Option<f64>,
    pub(super) ball_mm: Option<f64>,
    pub(super) landing_height_m: f64,
}

/// Writes an input with the keys of [`Asked`] behind its own; a flattened struct would take unknown keys.
macro_rules! asked_in_the_air {
    ($(#[$meta:meta])* struct Input { $($own:tt)* }) => {
        $(#[$meta])*
        #[derive(Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields)]
        pub(super) struct Input {
            $($own)*
            /// 23.9 when not given: 75 °F
            temp_c: Option<f64>,
            /// Pressure at the place, not reduced to sea level; 101592 when not given: 30 inHg
            pressure_pa: Option<f64>,
            /// Instead of the pressure: that of the standard atmosphere so high
            altitude_m: Option<f64>,
            /// Relative humidity, a share; 0.5 when not given
            humidity: Option<f64>,
            /// Velocity of the air toward the target and to the left; a headwind is [-4, 0]; still when not given
            #[serde(default, alias = "wind")]
            wind_mps: [f64; 2],
            /// Exponent of a wind that slackens toward the ground, (height / 10 m) ^ exponent; even when not given
            wind_shear: Option<f64>,
            /// Mass of the ball; 45.93, the most the Rules allow, when not given
            ball_g: Option<f64>,
            /// Diameter of the ball; 42.67, the least the Rules allow, when not given
            ball_mm: Option<f64>,
            /// Height of the target above the tee; 0 when not given
            #[serde(default)]
            landing_height_m: f64,
            /// Ground for bounce and run; carry alone when not given
            ground: Option<$crate::calc::conditions::Surface>,
        }

        impl Input {
            fn in_the_air(&self) -> $crate::calc::conditions::Asked {
                $crate::calc::conditions::Asked {
                    temp_c: self.temp_c,
                    pressure_pa: self.pressure_pa,
                    altitude_m: self.altitude_m,
                    humidity: self.humidity,
                    wind_mps: self.wind_mps,
                    wind_shear: self.wind_shear,
                    ball_g: self.ball_g,
                    ball_mm: self.ball_mm,
                    landing_height_m: self.landing_height_m,
                }
            }
        }
    };
}
pub(super) use asked_in_the_air;

impl Asked {
    /// The conditions that were asked for.
    pub(super) fn conditions(&self) -> Result<Conditions, Failure> {
        let usual = Weather::default();
        let pressure_pa = match (self.pressure_pa, self.altitude_m) {
            (Some(_), Some(_)) => {
                return Err(Failure::bad_input("expected pressure_pa or altitude_m, found both")
                    .field("altitude_m")
                    .hint(
                        "A barometer at the place goes before a standard atmosphere: leave altitude_m out.",
                    ));
            }
            (Some(pressure_pa), None) => pressure_pa,
            (None, Some(altitude_m)) => pressure_at_altitude_pa(altitude_m)
                .map_err(|error| Failure::from(error).field("altitude_m"))?,
            (None, None) => usual.pressure_pa,
        };
        let weather = Weather {
            temperature_c: self.temp_c.unwrap_or(usual.temperature_c),
            pressure_pa,
            relative_humidity: self.humidity.unwrap_or(usual.relative_humidity),
        };
        let ball = Ball::default();
        let [toward_target_mps, to_left_mps] = self.wind_mps;
        Ok(Conditions {
            air: Air::of(weather)?,
            wind: Wind { toward_target_mps, to_left_mps, shear_exponent: self.wind_shear },
            ball: Ball {
                mass_kg: self.ball_g.map_or(ball.mass_kg, |grams| grams / 1000.0),
                diameter_m: self.ball_mm.map_or(ball.diameter_m, |mm| mm / 1000.0),
            },
            landing_height_m: self.landing_height_m,
            ..Conditions::default()
        })
    }
}

/// Bounce and run, with how far it may be off.
#[derive(Serialize, JsonSchema)]
pub(super) struct RunOutput {
    run_m: f64,
    /// The run is known to about 30 %, and this is the least it may be
    run_from_m: f64,
    run_to_m: f64,
    bounces: u32,
    /// How far the model hops and rolls: its way of putting it, not what one sees
    bounce_m: f64,
    roll_m: f64,
    /// Carry and run along the target line
    total_m: f64,
    /// To the left of the target line where it lies
    rest_left_m: f64,
}

/// Lets the ball run out, where ground was asked for; `mirror` is −1 for a left-hander's ball worked out as a right-hander's.
pub(super) fn run_on(
    ground: Option<Surface>,
    landing: &Landing,
    conditions: &Conditions,
    mirror: f64,
) -> Result<Option<RunOutput>, Failure> {
    let Some(ground) = ground else { return Ok(None) };
    let ground = match ground {
        Surface::Fairway => Ground::FAIRWAY,
        Surface::Green => Ground::GREEN,
    };
    let run: Run = run_out(landing, &conditions.ball, &ground)?;
    let (total_m, rest_left_m) = run.rest_m(landing);
    let off = run.run_m().abs() * RUN_KNOWN_WITHIN_SHARE;
    Ok(Some(RunOutput {
        run_m: run.run_m(),
        run_from_m: run.run_m() - off,
        run_to_m: run.run_m() + off,
        bounces: run.bounces,
        bounce_m: run.bounce_m,
        roll_m: run.roll_m,
        total_m,
        rest_left_m: rest_left_m * mirror + 0.0,
    }))
}
