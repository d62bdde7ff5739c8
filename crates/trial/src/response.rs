//! What else may go with length: head speed, ball speed, carry, tempo. Reported as slopes, never part of the decision.

use crate::TrialError;
use crate::answer::quantile;
use crate::draws::Draw;
use crate::line::AxisDay;
use crate::strike::{Strike, count};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What may be read with a ball besides its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Response {
    /// Speed of the head before it meets the ball, m/s.
    #[serde(rename = "head speed")]
    HeadSpeed,
    /// Speed of the ball after it left the head, m/s.
    #[serde(rename = "ball speed")]
    BallSpeed,
    /// Carry, m.
    #[serde(rename = "carry")]
    Carry,
    /// Time of the backswing over that of the downswing.
    #[serde(rename = "tempo")]
    Tempo,
}

impl Response {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::HeadSpeed, Self::BallSpeed, Self::Carry, Self::Tempo];

    /// Names it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::HeadSpeed => "head speed",
            Self::BallSpeed => "ball speed",
            Self::Carry => "carry",
            Self::Tempo => "tempo",
        }
    }

    /// Finds it by its name.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|response| response.words() == words)
    }

    /// Its column in a strike file, with its unit.
    #[must_use]
    pub const fn column(self) -> &'static str {
        match self {
            Self::HeadSpeed => "head_speed_mps",
            Self::BallSpeed => "ball_speed_mps",
            Self::Carry => "carry_m",
            Self::Tempo => "tempo",
        }
    }

    /// Its unit; tempo is a ratio.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::HeadSpeed | Self::BallSpeed => "m/s",
            Self::Carry => "m",
            Self::Tempo => "",
        }
    }

    /// What a person can do, in its unit. Assumption: far beyond what is met, so that only slips are refused.
    #[must_use]
    pub const fn believable(self) -> (f64, f64) {
        match self {
            Self::HeadSpeed => (5.0, 80.0),
            Self::BallSpeed => (5.0, 110.0),
            Self::Carry => (1.0, 400.0),
            Self::Tempo => (0.3, 10.0),
        }
    }

    /// The same in words.
    #[must_use]
    pub const fn believable_words(self) -> &'static str {
        match self {
            Self::HeadSpeed => "5 to 80 m/s",
            Self::BallSpeed => "5 to 110 m/s",
            Self::Carry => "1 to 400 m",
            Self::Tempo => "0.3 to 10",
        }
    }
}

/// What was read with one ball.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Responses {
    /// Head speed, m/s.
    #[serde(default)]
    pub head_speed_mps: Option<f64>,
    /// Ball speed, m/s.
    #[serde(default)]
    pub ball_speed_mps: Option<f64>,
    /// Carry, m.
    #[serde(default)]
    pub carry_m: Option<f64>,
    /// Time of the backswing over that of the downswing.
    #[serde(default)]
    pub tempo: Option<f64>,
}

impl Responses {
    /// Returns one of them, where it was read.
    #[must_use]
    pub const fn get(&self, response: Response) -> Option<f64> {
        match response {
            Response::HeadSpeed => self.head_speed_mps,
            Response::BallSpeed => self.ball_speed_mps,
            Response::Carry => self.carry_m,
            Response::Tempo => self.tempo,
        }
    }

    /// Sets one of them.
    pub const fn set(&mut self, response: Response, value: f64) {
        let place = match response {
            Response::HeadSpeed => &mut self.head_speed_mps,
            Response::BallSpeed => &mut self.ball_speed_mps,
            Response::Carry => &mut self.carry_m,
            Response::Tempo => &mut self.tempo,
        };
        *place = Some(value);
    }

    /// Refuses what no person does.
    ///
    /// # Errors
    /// [`TrialError::BadSetting`] with what was expected.
    pub fn check(&self) -> Result<(), TrialError> {
        for response in Response::ALL {
            let (least, most) = response.believable();
            if let Some(found) = self.get(response).filter(|value| !(least..=most).contains(value)) {
                let expected = response.believable_words();
                return Err(TrialError::BadSetting { what: response.words(), found, expected });
            }
        }
        Ok(())
    }
}

/// One reading that goes with a ball.
struct ResponseBall {
    session: u32,
    offset_in: f64,
    value: f64,
}

/// How everything that was read with balls changes with length; what tells nothing is left out.
#[must_use]
pub fn response_slopes(balls: &[(Strike, Responses)]) -> Vec<(Response, ResponseSlope)> {
    let slope = |response: Response| {
        let read = balls.iter().filter_map(|(strike, responses)| {
            let value = responses.get(response)?;
            Some(ResponseBall { session: strike.session, offset_in: strike.offset_in, value })
        });
        Some((response, slope_of(&read.collect::<Vec<_>>())?))
    };
    Response::ALL.into_iter().filter_map(slope).collect()
}

/// How a reading changes with a quarter inch of length, in the reading's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ResponseSlope {
    /// Mean change.
    pub mean: f64,
    /// The change that is exceeded nine times in ten.
    pub tenth: f64,
    /// The change that is exceeded once in ten.
    pub ninetieth: f64,
    /// Balls it rests on.
    pub balls: usize,
}

/// Returns the slope; nothing with fewer than twelve readings, one length only, or readings that are all alike.
///
/// The readings are put on the scale of strikes (their scatter about the lengths of a day becomes 7) and told by the
/// same line with days that shift.
fn slope_of(balls: &[ResponseBall]) -> Option<ResponseSlope> {
    const USUAL: f64 = 7.0;
    if balls.len() < 12 || balls.iter().any(|ball| !ball.value.is_finite()) {
        return None;
    }
    let mut sessions: Vec<u32> = balls.iter().map(|ball| ball.session).collect();
    sessions.sort_unstable();
    sessions.dedup();
    let mean = balls.iter().map(|ball| ball.value).sum::<f64>() / count(balls.len());
    let day = |session: u32, scale: f64| {
        let of_day = || balls.iter().filter(|ball| ball.session == session);
        AxisDay {
            offsets: of_day().map(|ball| ball.offset_in).collect(),
            places: of_day().map(|ball| (ball.value - mean) * scale).collect(),
        }
    };
    let (squares, freedom) = sessions.iter().map(|session| day(*session, 1.0).residuals()).fold(
        (0.0, 0.0),
        |(squares, freedom), (left, free)| {
            (squares + left.iter().map(|value| value * value).sum::<f64>(), freedom + free)
        },
    );
    let scatter = (squares / freedom).sqrt();
    if freedom < 4.0 || !scatter.is_finite() || scatter <= mean.abs() * 1e-12 {
        return None;
    }
    let first = balls[0].offset_in;
    if balls.iter().all(|ball| crate::is_same_length(ball.offset_in, first)) {
        return None;
    }
    let days: Vec<AxisDay> = sessions.iter().map(|session| day(*session, USUAL / scatter)).collect();
    let draws = crate::posterior::draws_of_one_axis(&days);
    let slopes: Vec<f64> = draws.iter().map(|draw: &Draw| draw.toe.slope * scatter / USUAL / 4.0).collect();
    Some(ResponseSlope {
        mean: slopes.iter().sum::<f64>() / count(slopes.len()),
        tenth: quantile(&slopes, 0.1),
        ninetieth: quantile(&slopes, 0.9),
        balls: balls.len(),
    })
}
