//! How much of a change of length the golfer makes up with the body, and whether length can cure the strike at all.

use crate::answer::{Answer, quantile};
use crate::draws::Draw;
use crate::strike::count;

/// The lie a test iron is taken to have unless it was measured, degrees. Trade practice, no source.
pub const USUAL_LIE_DEG: f64 = 62.0;

/// The share made up, from none to all; below none and above all are printed as found.
#[derive(Debug, Clone, PartialEq)]
pub struct MakeUp {
    /// Mean share.
    pub mean: f64,
    /// Draws of the share.
    shares: Vec<f64>,
}

impl MakeUp {
    /// Takes the share from the slope between heel and toe.
    ///
    /// With hands and shaft angle fixed, an inch of length moves the head 25.4·cos(lie) mm away from the golfer, and the
    /// strike as far toward the heel. Derived; the ground, which stops a long club, spoils the same for low and high.
    #[must_use]
    pub fn of(answer: &Answer, lie_deg: f64) -> Self {
        let with_nothing_made_up = -25.4 * libm::cos(lie_deg.to_radians());
        let shares: Vec<f64> =
            answer.draws.iter().map(|draw| 1.0 - draw.toe.slope / with_nothing_made_up).collect();
        let mean = shares.iter().sum::<f64>() / count(shares.len()).max(1.0);
        Self { mean, shares }
    }

    /// The quantile of the share.
    #[must_use]
    pub fn quantile(&self, p: f64) -> f64 {
        quantile(&self.shares, p)
    }
}

/// A mean strike that stays this far from the sweet spot whatever the length is no matter of length, mm. Assumption.
pub const STAYS_OFF_MM: f64 = 3.0;

/// Odds that the mean strike stays off the sweet spot at every length: the part of the level across the slope.
#[must_use]
pub fn odds_length_cannot_cure(answer: &Answer) -> f64 {
    answer.odds(|draw| across(draw) > STAYS_OFF_MM)
}

fn across(draw: &Draw) -> f64 {
    let slope = draw.toe.slope.hypot(draw.high.slope);
    (draw.toe.level * draw.high.slope - draw.high.level * draw.toe.slope).abs() / slope
}
