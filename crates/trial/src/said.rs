//! Odds as they may be said: bounds in tenths that held in every cell of the simulation study.
//!
//! What is worked out is true for days as the method expects them. When days are more restless, calls hold less often than
//! that, and nobody knows beforehand which days a golfer has. So what is said of a hope is a floor ("7 in 10 or more"), of
//! a fear a ceiling ("2 in 10 or less"), far enough off that it held for usual and for restless days alike, for golfers
//! who make up none to nine tenths of a length, and with the sweet spot marked to a millimetre
//! (`docs/trial-study.md`, "What is printed").

/// What odds are about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Claim {
    /// The length advised strikes nearer the sweet spot than the rule's.
    Better,
    /// The length advised is right to an eighth of an inch.
    RightToAnEighth,
    /// The rule's length is best, or too near the best to matter.
    RuleNearBest,
}

impl Claim {
    /// What is taken off the odds before they are said. Derived from the simulation study.
    fn taken_off(self, counted_days: usize) -> f64 {
        match (self, counted_days) {
            (Self::RuleNearBest, ..4) => 0.3,
            (_, ..3) => 0.2,
            _ => 0.1,
        }
    }
}

/// What is added to the odds of a fear before they are said. Derived from the simulation study.
const ADDED_TO_A_FEAR: f64 = 0.1;

/// The highest floor. Assumption of the method: days of real golfers have not been measured yet.
const MOST_TENTHS: u32 = 8;
/// Floors below even odds say nothing: too few calls of the study rest on each. Choice of the method.
const LEAST_TENTHS: u32 = 5;

/// The floor that is said of a claim, in tenths: 7 is "7 in 10 or more"; nothing below even odds.
///
/// One counted day says no odds at all; that is the caller's.
#[must_use]
pub fn said_at_least(claim: Claim, odds: f64, counted_days: usize) -> Option<u32> {
    let tenths = crate::lattice::whole((odds - claim.taken_off(counted_days)) * 10.0 + 1e-9);
    u32::try_from(tenths).ok().filter(|tenths| *tenths >= LEAST_TENTHS).map(|tenths| tenths.min(MOST_TENTHS))
}

/// The ceiling that is said of a claim one fears, in tenths: 2 is "2 in 10 or less"; nothing where it says nothing.
#[must_use]
pub fn said_at_most(odds: f64) -> Option<u32> {
    let tenths = crate::lattice::whole(((odds + ADDED_TO_A_FEAR) * 10.0 - 1e-9).ceil());
    u32::try_from(tenths).ok().filter(|tenths| *tenths < 10)
}

#[cfg(test)]
mod tests {
    use super::{Claim, said_at_least, said_at_most};

    #[test]
    fn floors_lie_below_and_ceilings_above_and_more_days_say_more() {
        for hundredth in 0..=100_u32 {
            let odds = f64::from(hundredth) / 100.0;
            for claim in [Claim::Better, Claim::RightToAnEighth, Claim::RuleNearBest] {
                let mut before = 0;
                for days in 2..12 {
                    let floor = said_at_least(claim, odds, days).unwrap_or(0);
                    // a tenth or more below what was worked out, and never above eight tenths
                    assert!(
                        f64::from(floor) <= odds * 10.0 - 1.0 + 1e-6 || floor == 0,
                        "{odds} {days}: {floor}"
                    );
                    assert!(floor >= before);
                    before = floor;
                }
            }
            let ceiling = said_at_most(odds).unwrap_or(10);
            assert!(f64::from(ceiling) >= (odds * 10.0 + 1.0 - 1e-6).min(10.0), "{odds}: {ceiling}");
        }
        assert_eq!(said_at_least(Claim::Better, 0.9, 3), Some(8));
        assert_eq!(said_at_least(Claim::Better, 1.0, 12), Some(8));
        assert_eq!(said_at_least(Claim::Better, 0.9, 2), Some(7));
        assert_eq!(said_at_least(Claim::RuleNearBest, 0.9, 3), Some(6));
        assert_eq!(said_at_least(Claim::Better, 0.59, 3), None);
        assert_eq!(said_at_most(0.0), Some(1));
        assert_eq!(said_at_most(0.9), None);
        assert_eq!(said_at_least(Claim::Better, f64::NAN, 3), None);
    }
}
