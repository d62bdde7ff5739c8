//! What is not known of a shot, and how wide it makes the answer.
//!
//! Ball, air, head and delivery of a golfer are known only so well. Seven of those unknowns are set to one standard
//! deviation above or below their usual value in a two-level orthogonal design of eight runs and its mirror image. Over the
//! sixteen runs the standard deviation of any outcome that is linear in the unknowns is the root of the sum of squares of
//! the single effects, as the law of propagation of errors has it; effects of two unknowns together do not disturb the
//! single effects, for the mirror image takes them out.

use crate::flight::{Aerodynamics, Conditions};
use crate::impact::{Delivery, Head, Restitution};

/// Runs of the design.
pub const RUNS: usize = 16;

/// One standard deviation of each unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unknowns {
    /// Drag, as a share: ball and air.
    pub drag: f64,
    /// Lift, as a share: ball.
    pub lift: f64,
    /// Head speed, as a share.
    pub head_speed: f64,
    /// Dynamic loft, degrees.
    pub dynamic_loft_deg: f64,
    /// Attack, degrees.
    pub attack_deg: f64,
    /// Restitution.
    pub restitution: f64,
    /// Inertia of the head, as a share.
    pub inertia: f64,
    /// Dynamic loft of this club alone, beside what the golfer does with every club, degrees; not among the seven of the
    /// design, for it is what two clubs do not share.
    pub own_loft_deg: f64,
}

impl Unknowns {
    /// Drag of a ball nobody has measured, in air that is known to 6 °C.
    ///
    /// Derived: among thirteen balls the drag coefficient, near 0.25 in play, spread by less than 0.05 above a Reynolds
    /// number of 10⁵ (published: Lyu, Kensrud & Smith 2018, Proceedings 2(6), 238; abstract read); the range of thirteen
    /// normal numbers is 3.3 standard deviations, so 0.05 / 3.3 / 0.25 = 0.06 at the most, and 0.05 is taken. Air changes
    /// by 0.02 over 6 °C.
    pub const DRAG: f64 = 0.054;
    /// Lift of such a ball. Assumption: as well known as its drag.
    pub const LIFT: f64 = 0.05;
    /// Head speed that was measured. Assumption: what a session and an instrument leave.
    pub const HEAD_SPEED_MEASURED: f64 = 0.02;
    /// Head speed carried over from another club by its length. Assumption.
    pub const HEAD_SPEED_FROM_ANOTHER_CLUB: f64 = 0.045;
    /// Dynamic loft of a golfer nobody has measured. Assumption.
    pub const DYNAMIC_LOFT_DEG: f64 = 2.0;
    /// Attack of a golfer nobody has measured. Assumption.
    pub const ATTACK_DEG: f64 = 1.5;
    /// Restitution of a head nobody has measured. Assumption.
    pub const RESTITUTION: f64 = 0.015;
    /// Inertia of a head nobody has measured. Assumption: the heads stand in for all of their kind.
    pub const INERTIA: f64 = 0.15;

    /// What one club's dynamic loft strays from the golfer's habit where its loft was read. Assumption: half a degree of
    /// reading and some of delivery.
    pub const OWN_LOFT_READ_DEG: f64 = 1.0;
    /// The same where the loft is a usual one. Trade practice, no source: makers differ by 3 degrees and more.
    pub const OWN_LOFT_ASSUMED_DEG: f64 = 2.0;

    /// The unknowns of a club whose loft was read and whose golfer's head speed is known so well.
    #[must_use]
    pub const fn with_head_speed_known_to(head_speed: f64) -> Self {
        Self {
            drag: Self::DRAG,
            lift: Self::LIFT,
            head_speed,
            dynamic_loft_deg: Self::DYNAMIC_LOFT_DEG,
            attack_deg: Self::ATTACK_DEG,
            restitution: Self::RESTITUTION,
            inertia: Self::INERTIA,
            own_loft_deg: Self::OWN_LOFT_READ_DEG,
        }
    }

    /// The shot as it would be in each run.
    #[must_use]
    pub fn runs(&self, shot: &Setup) -> [Setup; RUNS] {
        SIGNS.map(|signs| self.moved(shot, signs))
    }

    fn moved(&self, shot: &Setup, signs: [f64; 7]) -> Setup {
        let [drag, lift, speed, loft, attack, restitution, inertia] = signs;
        let Setup { head, delivery, conditions } = *shot;
        let air = conditions.aerodynamics;
        let drag = 1.0 + drag * self.drag;
        Setup {
            head: Head {
                restitution: Restitution {
                    at_reference: head.restitution.at_reference + restitution * self.restitution,
                    ..head.restitution
                },
                inertia_kg_m2: head
                    .inertia_kg_m2
                    .map(|row| row.map(|moment| moment * (1.0 + inertia * self.inertia))),
                ..head
            },
            delivery: Delivery {
                head_speed_mps: delivery.head_speed_mps * (1.0 + speed * self.head_speed),
                dynamic_loft_deg: delivery.dynamic_loft_deg + loft * self.dynamic_loft_deg,
                attack_deg: delivery.attack_deg + attack * self.attack_deg,
                ..delivery
            },
            conditions: Conditions {
                aerodynamics: Aerodynamics {
                    drag_least: air.drag_least * drag,
                    drag_of_lift: air.drag_of_lift * drag,
                    drag_below_crisis: air.drag_below_crisis * drag,
                    lift_most: air.lift_most * (1.0 + lift * self.lift),
                    ..air
                },
                ..conditions
            },
        }
    }
}

/// All that a shot depends on but the place on the face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setup {
    /// The head.
    pub head: Head,
    /// How it comes to the ball.
    pub delivery: Delivery,
    /// Ball, air, wind, target.
    pub conditions: Conditions,
}

/// An outcome over the runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Standard deviation from all that is not known.
    pub sd: f64,
    /// Standard deviation from ball and air alone.
    pub ball_and_air_sd: f64,
}

impl Spread {
    /// Reads the spread of an outcome off its runs.
    #[must_use]
    pub fn of(outcomes: &[f64; RUNS]) -> Self {
        let effect = |unknown: usize| {
            let sum: f64 = SIGNS.iter().zip(outcomes).map(|(signs, outcome)| signs[unknown] * outcome).sum();
            sum / SIXTEEN
        };
        let effects: [f64; 7] = std::array::from_fn(effect);
        let root = |effects: &[f64]| effects.iter().map(|effect| effect * effect).sum::<f64>().sqrt();
        // drag and lift are what ball and air do
        Self { sd: root(&effects), ball_and_air_sd: root(&effects[..2]) }
    }
}

const SIXTEEN: f64 = 16.0;

/// Signs of the unknowns in each run: the columns of Hadamard's matrix of eight without its first, and their mirror image.
const SIGNS: [[f64; 7]; RUNS] = {
    let mut signs = [[0.0; 7]; RUNS];
    let mut run = 0_usize;
    while run < 8 {
        let mut unknown = 0_usize;
        while unknown < 7 {
            // Sylvester: the sign is that of the number of ones run and column have in common
            let shared = (run & (unknown + 1)).count_ones();
            let sign = if shared.is_multiple_of(2) { 1.0 } else { -1.0 };
            signs[run][unknown] = sign;
            signs[run + 8][unknown] = -sign;
            unknown += 1;
        }
        run += 1;
    }
    signs
};

#[cfg(test)]
mod tests {
    use super::{RUNS, SIGNS, Spread};

    #[test]
    fn the_unknowns_are_set_evenly_and_independently_of_each_other() {
        for one in 0..7 {
            assert!(SIGNS.iter().map(|signs| signs[one]).sum::<f64>().abs() < 1e-12);
            for other in 0..one {
                let together: f64 = SIGNS.iter().map(|signs| signs[one] * signs[other]).sum();
                assert!(together.abs() < 1e-12, "{one} {other}");
            }
        }
    }

    #[test]
    fn the_spread_of_a_sum_is_the_root_of_the_sum_of_squares() {
        // 3-4-5: closed form; what two unknowns do together does not disturb it
        let outcomes: [f64; RUNS] = std::array::from_fn(|run| {
            let signs = SIGNS[run];
            100.0 + 3.0 * signs[0] + 4.0 * signs[5] + 7.0 * signs[2] * signs[3]
        });
        let spread = Spread::of(&outcomes);
        assert!((spread.sd - 5.0).abs() < 1e-12, "{spread:?}");
        assert!((spread.ball_and_air_sd - 3.0).abs() < 1e-12, "{spread:?}");
    }
}
