//! Inertia from a timed pendulum: hang the club near the grip end and count swings.
//!
//! Small swings, a knife-edge pivot square to the shaft, no air. The pivot lies between the grip end and
//! the balance point, measured from the grip end.

use crate::ClubError;
use crate::bench_model::Reading;
use quantity::{Inertia, Length};
use std::f64::consts::PI;

/// Standard acceleration of free fall, m/s². Standard: 3rd General Conference on Weights and Measures, 1901.
const STANDARD_GRAVITY: f64 = 9.806_65;
/// Error of a period timed by hand over twenty swings, seconds. Trade practice.
const TIMING_ERROR_S: f64 = 0.005;

/// The inertia a swing shows, about three axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwungInertia {
    /// About the pivot.
    pub about_pivot: Inertia,
    /// About the balance point.
    pub about_balance: Inertia,
    /// About the grip end.
    pub about_butt: Inertia,
    /// By what share the inertia about the grip end moves for 5 ms on the period.
    pub relative_change_for_timing: f64,
}

/// Works out the inertia of a club that swings with this period.
///
/// # Errors
/// [`ClubError::PivotBelowBalance`] when the pivot is not between grip end and balance point,
/// [`ClubError::OutOfRange`] for a period no club has.
///
/// # Source
/// Derived (`docs/derivations/statics.md`): the compound pendulum, I = T² m g d / 4π², and the
/// parallel-axis rule.
pub fn inertia(club: Reading, pivot: Length, period_s: f64) -> Result<SwungInertia, ClubError> {
    let club = club.checked()?;
    if pivot < Length::ZERO || pivot >= club.balance {
        return Err(ClubError::PivotBelowBalance {
            pivot_in: pivot.as_inches(),
            balance_in: club.balance.as_inches(),
        });
    }
    if !(0.5..=5.0).contains(&period_s) {
        return Err(ClubError::OutOfRange {
            what: "period",
            found: format!("{period_s} s"),
            expected: "0.5 to 5 s for one swing there and back".to_owned(),
        });
    }
    let about_pivot = about_pivot(club, pivot, period_s);
    let (arm, reach) = (club.balance - pivot, club.balance);
    let about_balance = about_pivot - club.mass * arm * arm;
    let about_butt = about_balance + club.mass * reach * reach;
    let late = self::about_pivot(club, pivot, period_s + TIMING_ERROR_S);
    if about_balance <= Inertia::ZERO {
        return Err(ClubError::OutOfRange {
            what: "period",
            found: format!("{period_s} s"),
            expected: format!("a slower swing: hung {:.1} in above its balance point", arm.as_inches()),
        });
    }
    Ok(SwungInertia {
        about_pivot,
        about_balance,
        about_butt,
        relative_change_for_timing: (late - about_pivot) / about_butt,
    })
}

fn about_pivot(club: Reading, pivot: Length, period_s: f64) -> Inertia {
    let arm_m = (club.balance - pivot).as_metres();
    let weight_n = club.mass.as_kilograms() * STANDARD_GRAVITY;
    Inertia::kg_m2(period_s * period_s * weight_n * arm_m / (4.0 * PI * PI))
}

#[cfg(test)]
mod tests {
    use super::inertia;
    use crate::bench_model::Reading;
    use quantity::{Length, Mass};

    #[test]
    fn a_uniform_rod_swings_like_two_thirds_of_its_length() {
        // T = 2π √(2 L / 3 g): for 900 mm 1.554 050 s; about its end m L² / 3
        let rod = Reading { length: Length::mm(900.0), mass: Mass::grams(300.0), balance: Length::mm(450.0) };
        let period = 2.0 * std::f64::consts::PI * (2.0_f64 * 0.9 / (3.0 * 9.806_65)).sqrt();
        let swung = inertia(rod, Length::ZERO, period).unwrap();
        assert!((swung.about_butt.as_kg_m2() - 0.3 * 0.81 / 3.0).abs() < 1e-12);
        assert!((swung.about_balance.as_kg_m2() - 0.3 * 0.81 / 12.0).abs() < 1e-12);
    }

    #[test]
    fn a_pivot_at_the_balance_point_and_an_impossible_period_are_refused() {
        let club =
            Reading { length: Length::inches(37.0), mass: Mass::grams(426.0), balance: Length::inches(28.0) };
        assert!(inertia(club, Length::inches(28.0), 1.7).is_err());
        assert!(inertia(club, Length::inches(2.0), f64::NAN).is_err());
        assert!(inertia(club, Length::inches(2.0), 0.6).is_err());
    }
}
