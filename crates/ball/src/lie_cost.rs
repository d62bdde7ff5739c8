//! What a delivered lie error does to where the ball goes.

use crate::impact::{Delivery, ImpactError, LieStart, start_with_lie_error};
use crate::shot::ShotError;
use crate::strike_map::from_sweet_spot;
use crate::unknowns::{RUNS, Setup, Spread, Unknowns};

/// Where a ball struck with a wrong lie starts and finishes. Directions are toward the golfer's lead side +, for either hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LieCost {
    /// Where face and ball start.
    pub start: LieStart,
    /// How far toward the lead side of where the same strike with the lie right comes down, m.
    pub finish_lead_m: f64,
    /// Carry lost by it, m.
    pub lost_m: f64,
    /// How well the finish is known, m.
    pub spread: Spread,
}

/// Works it out for a strike so far from the sweet spot; the gear effect of that strike is in both shots.
///
/// # Errors
/// [`ShotError`] for a head, a delivery or a lie error that cannot be.
pub fn lie_cost(
    setup: &Setup,
    unknowns: &Unknowns,
    lie_error_deg: f64,
    (toe_mm, high_mm): (f64, f64),
) -> Result<LieCost, ShotError> {
    let (finish_lead_m, lost_m) = turned(setup, lie_error_deg, (toe_mm, high_mm))?;
    let mut finishes = [0.0; RUNS];
    for (finish, run) in finishes.iter_mut().zip(unknowns.runs(setup)) {
        *finish = turned(&run, lie_error_deg, (toe_mm, high_mm))?.0;
    }
    Ok(LieCost {
        start: start(setup, lie_error_deg, (toe_mm, high_mm))?,
        finish_lead_m,
        lost_m,
        spread: Spread::of(&finishes),
    })
}

fn start(setup: &Setup, lie_error_deg: f64, (toe_mm, high_mm): (f64, f64)) -> Result<LieStart, ImpactError> {
    let sweet = setup.head.sweet_spot();
    let mut delivery = Delivery { lie_error_deg, ..setup.delivery };
    delivery.place.toe_mm = sweet.toe_mm + toe_mm;
    delivery.place.high_mm = sweet.high_mm + high_mm;
    start_with_lie_error(&setup.head, &delivery)
}

/// How much farther toward the lead side, and how much shorter, than with the lie right, m.
fn turned(setup: &Setup, lie_error_deg: f64, (toe_mm, high_mm): (f64, f64)) -> Result<(f64, f64), ShotError> {
    let with = |lie_error_deg: f64| {
        let delivery = Delivery { lie_error_deg, ..setup.delivery };
        from_sweet_spot(&Setup { delivery, ..*setup }, toe_mm, high_mm)
    };
    let (wrong, right) = (with(lie_error_deg)?, with(0.0)?);
    Ok((right.right_m() - wrong.right_m(), right.carry_m() - wrong.carry_m()))
}
