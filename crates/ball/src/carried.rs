//! How far a club carries, and how well that is known; what lies between two clubs.

use crate::shot::{Shot, ShotError};
use crate::strike_map::from_sweet_spot;
use crate::unknowns::{RUNS, Setup, Spread, Unknowns};

/// A club struck on its sweet spot.
#[derive(Debug, Clone, PartialEq)]
pub struct Carried {
    /// The shot.
    pub shot: Shot,
    /// How well its carry is known, m.
    pub spread: Spread,
    runs: [f64; RUNS],
    /// What this club's own loft makes of it, m, one standard deviation.
    own_m: f64,
}

/// How far the flight model misses a carry it was fitted on, as a share, one standard deviation.
///
/// Derived: 3.5 yd root mean square over 22 clubs whose carries are near 190 yd (`docs/derivations/flight.md`); fairway woods
/// come out 5 to 7 yd too long and wedges 3 to 6 yd too short.
pub const MODEL_MISSES: f64 = 0.018;
/// The same between one club and the next, m. Derived: from 6 yd too long to 5 yd too short over some ten clubs is a yard a
/// step.
pub const MODEL_MISSES_A_GAP_M: f64 = 0.9;

/// The difference in carry between two clubs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CarryGap {
    /// How much farther the first carries, m.
    pub metres: f64,
    /// How well that is known, m. Ball, air and what a golfer does alike with both clubs mostly cancel; what each club has
    /// of its own does not.
    pub spread: Spread,
}

impl Carried {
    /// Strikes and flies it, and every run of what is not known.
    ///
    /// # Errors
    /// [`ShotError`] for a head or delivery that cannot be.
    pub fn of(setup: &Setup, unknowns: &Unknowns) -> Result<Self, ShotError> {
        let shot = from_sweet_spot(setup, 0.0, 0.0)?;
        let mut runs = [0.0; RUNS];
        for (carry, run) in runs.iter_mut().zip(unknowns.runs(setup)) {
            *carry = from_sweet_spot(&run, 0.0, 0.0)?.carry_m();
        }
        let bent = |degrees: f64| {
            let mut bent = *setup;
            bent.delivery.dynamic_loft_deg += degrees;
            from_sweet_spot(&bent, 0.0, 0.0)
        };
        let own_deg = unknowns.own_loft_deg;
        let own_m = (bent(-own_deg)?.carry_m() - bent(own_deg)?.carry_m()).abs() / 2.0;
        let missed_m = MODEL_MISSES * shot.carry_m();
        Ok(Self { spread: with_own(Spread::of(&runs), own_m.hypot(missed_m)), shot, runs, own_m })
    }

    /// Carry, m.
    #[must_use]
    pub fn carry_m(&self) -> f64 {
        self.shot.carry_m()
    }

    /// How much farther this club carries than another in the same hands.
    #[must_use]
    pub fn gap_to(&self, other: &Self) -> CarryGap {
        let differences: [f64; RUNS] = std::array::from_fn(|run| self.runs[run] - other.runs[run]);
        let own_m = self.own_m.hypot(other.own_m).hypot(MODEL_MISSES_A_GAP_M);
        let spread = with_own(Spread::of(&differences), own_m);
        CarryGap { metres: self.carry_m() - other.carry_m(), spread }
    }

    /// How much farther it carries than the same club as it was: their own loft, and what the model misses, is one and the
    /// same.
    #[must_use]
    pub fn gain_over(&self, before: &Self) -> CarryGap {
        let differences: [f64; RUNS] = std::array::from_fn(|run| self.runs[run] - before.runs[run]);
        CarryGap { metres: self.carry_m() - before.carry_m(), spread: Spread::of(&differences) }
    }
}

/// Adds what a club has of its own.
fn with_own(spread: Spread, own: f64) -> Spread {
    Spread { sd: spread.sd.hypot(own), ..spread }
}
