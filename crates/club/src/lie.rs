//! Lie: what a change of length asks of it, and where the face points when it is wrong.
//!
//! Signs: upright +, open +, directions toward the golfer's lead side +. A head's own lie does not change
//! when its shaft gets longer; what changes is how the head is delivered, and that depends on whether the
//! golfer keeps the hands at one height or the ball at one distance. Both are given, and the trade's rule
//! beside them. Where the face points is not yet where the ball goes: it starts nearer the path and curves.

use crate::ClubError;
use quantity::{Angle, Length};

/// The trade's rule: one degree flatter for each half inch longer. Trade practice; another rule says one
/// degree for three quarters, a third says none until the sole is tested.
const TRADE_RULE_DEG_PER_INCH: f64 = -2.0;

/// How far below the grip end the middle of the hands is. Trade practice: 5 in.
pub const HAND_CENTRE: Length = Length::inches(5.0);

/// The lies wanted after a change of length, for an unchanged golfer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LieWanted {
    /// If the hands stay at the height they had.
    pub keeping_hand_height: Angle,
    /// If the ball stays at the distance it had.
    pub keeping_ball_distance: Angle,
    /// By the trade's rule of one degree for each half inch.
    pub by_trade_rule: Angle,
}

impl LieWanted {
    /// Returns the flattest and the most upright of the two limits, in that order.
    #[must_use]
    pub fn range(&self) -> (Angle, Angle) {
        (
            self.keeping_hand_height.min(self.keeping_ball_distance),
            self.keeping_hand_height.max(self.keeping_ball_distance),
        )
    }
}

/// Works out the lies wanted when a club becomes `change` longer (shorter when negative).
///
/// `grip_down` is how far below the grip end the hands hold it, before and after: zero reckons with the
/// whole club, as the bench does; 5 in is about the middle of the hands.
///
/// # Errors
/// [`ClubError::NoSuchLie`] when the club would be shorter than the hands are high or far.
///
/// # Source
/// Derived: `docs/derivations/lie.md` (the shaft is the long side of a right-angled triangle).
pub fn lie_wanted(
    length: Length,
    lie: Angle,
    change: Length,
    grip_down: Length,
) -> Result<LieWanted, ClubError> {
    let held = length - grip_down;
    let held_after = held + change;
    let (height, distance) = (held * lie.as_radians().sin(), held * lie.as_radians().cos());
    let keeping = |kept: Length, angle: fn(f64) -> f64| {
        let share = kept / held_after;
        if held <= Length::ZERO || held_after <= Length::ZERO || !(0.0..=1.0).contains(&share) {
            return Err(ClubError::NoSuchLie {
                height_in: kept.as_inches(),
                reach_in: held_after.as_inches(),
            });
        }
        Ok(Angle::radians(angle(share)))
    };
    Ok(LieWanted {
        keeping_hand_height: keeping(height, f64::asin)?,
        keeping_ball_distance: keeping(distance, f64::acos)?,
        by_trade_rule: lie + Angle::degrees(TRADE_RULE_DEG_PER_INCH * change.as_inches()),
    })
}

/// How a face is presented to the ball.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FaceDelivery {
    /// Static loft of the head.
    pub loft: Angle,
    /// How much too upright the lie is delivered (too flat: negative).
    pub lie_error: Angle,
    /// How far the hands are ahead, which takes loft away.
    pub lean: Angle,
    /// How far the face is open (closed: negative).
    pub face_open: Angle,
}

/// Where the face points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FacePointing {
    /// Sideways, toward the golfer's lead side +.
    pub toward_lead: Angle,
    /// Upward.
    pub vertical_loft: Angle,
}

impl FaceDelivery {
    /// Returns where the face points: the exact turn of a lofted face about the target line.
    ///
    /// # Source
    /// Derived (`docs/derivations/lie.md`): atan(tan loft · sin lie error), then the open face on top.
    #[must_use]
    pub fn pointing(&self) -> FacePointing {
        let loft = (self.loft - self.lean).as_radians();
        let error = self.lie_error.as_radians();
        FacePointing {
            toward_lead: Angle::radians((loft.sin() * error.sin()).atan2(loft.cos())) - self.face_open,
            vertical_loft: Angle::radians((loft.sin() * error.cos()).asin()),
        }
    }
}

impl FacePointing {
    /// Returns how far offline a straight line along the face ends at this distance, lead side +.
    #[must_use]
    pub fn offline_at(&self, distance: Length) -> Length {
        distance * self.toward_lead.as_radians().tan()
    }
}

#[cfg(test)]
mod tests {
    use super::{FaceDelivery, lie_wanted};
    use quantity::{Angle, Length};

    #[test]
    fn a_right_face_points_straight_up_the_loft() {
        let square = FaceDelivery { loft: Angle::degrees(34.0), ..FaceDelivery::default() }.pointing();
        assert!(square.toward_lead.abs() < Angle::degrees(1e-12));
        assert!((square.vertical_loft - Angle::degrees(34.0)).abs() < Angle::degrees(1e-12));
    }

    #[test]
    fn a_club_too_short_to_reach_the_hands_has_no_lie() {
        let wanted = |change| {
            lie_wanted(Length::inches(37.0), Angle::degrees(62.0), Length::inches(change), Length::ZERO)
        };
        assert!(wanted(-5.0).is_err() && wanted(-40.0).is_err() && wanted(-0.5).is_ok());
    }
}
