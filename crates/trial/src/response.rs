//! What else may go with length: head speed, ball speed, carry, tempo. Reported as a slope, never part of the decision.

use crate::answer::quantile;
use crate::draws::Draw;
use crate::line::AxisDay;
use crate::strike::count;

/// One reading that goes with a ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ResponseBall {
    /// The session's label.
    pub session: u32,
    /// Offset of the length from the rule's, in.
    pub offset_in: f64,
    /// The reading, in a unit of its own.
    pub value: f64,
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
#[must_use]
pub fn slope_of(balls: &[ResponseBall]) -> Option<ResponseSlope> {
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
