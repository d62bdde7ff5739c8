//! How a golfer whose delivery nobody has measured may bring a club to the ball.
//!
//! All of it is assumed, and [`crate::unknowns`] says how widely: a measured delivery goes before it.

use crate::impact::Delivery;
use club::ClubKind;

/// Static loft of the seven-iron the assumptions are made for, degrees.
const SEVEN_IRON_LOFT_DEG: f64 = 34.0;

/// Dynamic loft less static loft of an iron, at the seven-iron's loft, degrees: the hands are ahead of the head. Assumption.
const IRON_LEAN_DEG: f64 = -9.0;
/// How much more the hands lead for each degree of loft. Assumption: two degrees from five-iron to seven-iron.
const IRON_LEAN_A_DEGREE: f64 = -2.0 / 7.0;
/// Attack with the seven-iron, degrees. Assumption.
const IRON_ATTACK_DEG: f64 = -4.0;
/// How much steeper for each degree of loft. Assumption: one degree from five-iron to seven-iron.
const IRON_ATTACK_A_DEGREE: f64 = -1.0 / 7.0;
/// Flattest and steepest attack with an iron, degrees. Assumption.
const IRON_ATTACK_WITHIN_DEG: (f64, f64) = (-5.0, -2.0);
/// Lean and attack with a driver, from a tee; with a wood and a hybrid, from the ground, degrees. Assumptions.
const DRIVER: (f64, f64) = (3.0, 1.0);
const WOOD: (f64, f64) = (-1.0, -1.5);
const HYBRID: (f64, f64) = (-3.5, -2.5);

/// The delivery of a club with this static loft at this head speed: square, level lie, on the face's centre.
#[must_use]
pub fn usual_delivery(kind: ClubKind, static_loft_deg: f64, head_speed_mps: f64) -> Delivery {
    let beyond = static_loft_deg - SEVEN_IRON_LOFT_DEG;
    let (least, most) = IRON_ATTACK_WITHIN_DEG;
    let (lean_deg, attack_deg) = match kind {
        ClubKind::Driver => DRIVER,
        ClubKind::Wood(_) => WOOD,
        ClubKind::Hybrid(_) => HYBRID,
        ClubKind::Iron(_) | ClubKind::Wedge(_) | ClubKind::Putter => (
            IRON_LEAN_DEG + IRON_LEAN_A_DEGREE * beyond,
            (IRON_ATTACK_DEG + IRON_ATTACK_A_DEGREE * beyond).clamp(least, most),
        ),
    };
    Delivery {
        head_speed_mps,
        dynamic_loft_deg: static_loft_deg + lean_deg,
        attack_deg,
        ..Delivery::default()
    }
}

/// The head speed of a club, from that of another the golfer was measured with: as far as their lengths go together.
///
/// Assumption: the club turns as fast, so that the head is as much faster as it is farther out. Wedges are often swung
/// slower than that.
#[must_use]
pub fn head_speed_at_length(measured_mps: f64, measured_length_m: f64, length_m: f64) -> f64 {
    measured_mps * length_m / measured_length_m
}

#[cfg(test)]
mod tests {
    use super::{head_speed_at_length, usual_delivery};
    use club::{ClubKind, Wedge};

    #[test]
    fn the_delivery_is_that_of_the_clubs_it_was_made_for_and_steady_between() {
        let at = |kind, loft| {
            let delivery = usual_delivery(kind, loft, 35.0);
            (delivery.dynamic_loft_deg, delivery.attack_deg)
        };
        assert_eq!(at(ClubKind::Iron(7), 34.0), (25.0, -4.0));
        assert_eq!(at(ClubKind::Iron(5), 27.0), (20.0, -3.0));
        assert_eq!(at(ClubKind::Driver, 10.5), (13.5, 1.0));
        // more loft is more dynamic loft, all the way
        let lofts = [20.0, 27.0, 34.0, 42.0, 47.0, 56.0, 60.0];
        let delivered: Vec<f64> =
            lofts.iter().map(|loft| at(ClubKind::Wedge(Wedge::Sand), *loft).0).collect();
        assert!(delivered.windows(2).all(|pair| pair[1] > pair[0]), "{delivered:?}");
        assert!((head_speed_at_length(36.0, 0.94, 0.94) - 36.0).abs() < 1e-12);
    }
}
