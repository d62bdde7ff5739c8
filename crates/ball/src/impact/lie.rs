//! Where a ball starts when the lie is wrong.
//!
//! Where the face points is worked out in [`club::lie`]. The ball starts at a part of it, because the face grips the ball
//! and drags it along the path, and curves the same way.

use super::{Delivery, Head, ImpactError, strike};
use club::lie::FaceDelivery;
use quantity::Angle;

/// What a delivered lie error does to the start of a ball. Directions are toward the golfer's lead side +, for either hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LieStart {
    /// Where the face points at its centre, degrees.
    pub face_toward_lead_deg: f64,
    /// Where the ball starts, degrees; an open face, the path and an off-centre strike are in it.
    pub start_toward_lead_deg: f64,
    /// Sidespin that curves the ball toward the lead side, rpm; the same are in it.
    pub side_spin_toward_lead_rpm: f64,
    /// How much of the face's direction is the lie's, degrees.
    pub face_turned_deg: f64,
    /// How much of the start is the lie's, degrees: against the same strike with the lie right.
    pub start_turned_deg: f64,
    /// How much of the sidespin is the lie's, rpm.
    pub side_spin_turned_rpm: f64,
}

impl LieStart {
    /// The part of the face's turn with which the ball starts; none when the lie turns no face.
    #[must_use]
    pub fn share_of_face(&self) -> Option<f64> {
        (self.face_turned_deg.abs() > 0.0).then(|| self.start_turned_deg / self.face_turned_deg)
    }
}

/// Works out start and sidespin of a ball struck there with this lie error.
///
/// # Errors
/// [`ImpactError`] as [`strike`] has it.
pub fn start_with_lie_error(head: &Head, delivery: &Delivery) -> Result<LieStart, ImpactError> {
    let right = Delivery { lie_error_deg: 0.0, ..*delivery };
    let (ball, ball_of_right_lie) = (strike(head, delivery)?, strike(head, &right)?);
    let (face, face_of_right_lie) = (face_toward_lead_deg(delivery), face_toward_lead_deg(&right));
    Ok(LieStart {
        face_toward_lead_deg: face,
        start_toward_lead_deg: -ball.start_right_deg,
        side_spin_toward_lead_rpm: -ball.side_spin_right_rpm,
        face_turned_deg: face - face_of_right_lie,
        start_turned_deg: ball_of_right_lie.start_right_deg - ball.start_right_deg,
        side_spin_turned_rpm: ball_of_right_lie.side_spin_right_rpm - ball.side_spin_right_rpm,
    })
}

fn face_toward_lead_deg(delivery: &Delivery) -> f64 {
    let face = FaceDelivery {
        loft: Angle::degrees(delivery.dynamic_loft_deg),
        lie_error: Angle::degrees(delivery.lie_error_deg),
        lean: Angle::ZERO,
        face_open: Angle::degrees(delivery.face_open_deg),
    };
    face.pointing().toward_lead.as_degrees()
}
