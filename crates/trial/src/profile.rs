//! What one golfer's strikes say of the length that suits, kept so that a studio can learn from many golfers.
//!
//! A profile is a likelihood, not a belief: the logarithm of the probability of all strikes, given the length that fits
//! (inches from the rule's, longer positive) and the standard deviation of golfers' habits of striking that have nothing
//! to do with length (mm). Level = habit − slope · fit along both axes; slope, scatter and the restlessness of days are
//! integrated out. Only differences within one profile mean anything; a golfer about whom length says nothing has a
//! flat one. Errors are normal: what a Student t would change is left to the golfer's own trial.

use crate::TrialError;
use crate::evidence::{Given, GivenLine};
use crate::grid::Nodes;
use crate::line::along;
use crate::math::{exp_not_above_zero, ln};
use crate::normal;
use crate::prior::SLOPE_SD;
use crate::quadrature::{HERMITE_5, LEGENDRE_6, LEGENDRE_10};
use crate::strike::{Axis, Strikes, count};

/// How many lengths that may fit a profile holds. Choice of the method: every 0.05 in from -1.5 to 1.5 in, finer than
/// any golfer's strikes tell.
pub const FIT_PLACES: usize = 61;
/// The habits a profile holds, mm. Choice of the method: what lies between is interpolated.
pub const HABIT_SDS_MM: [f64; 5] = [1.0, 2.0, 3.0, 4.0, 5.0];
/// How many numbers make a profile. Definition.
pub const NUMBERS: usize = FIT_PLACES * HABIT_SDS_MM.len();
/// Largest number of a profile, either way: 5,000 balls come to some forty thousand. Choice of the method.
const MOST: f64 = 1e6;
/// Parts of the grid with less than this share wherever it was looked are left out. Choice of the method: the at most
/// 300 parts of an axis then lack under 3 % of the whole, and 0.1 % on simulated trials.
const NEGLIGIBLE: f64 = 1e-4;

/// Where the rule's own length stands among them.
pub(crate) const MIDDLE: usize = FIT_PLACES / 2;

/// Returns a length of the profile, inches from the rule's.
#[must_use]
pub fn fit_place_in(place: usize) -> f64 {
    // twentieths divide more exactly than steps add up
    (count(place) - count(MIDDLE)) / 20.0
}

/// Log probability of one golfer's strikes at 61 lengths that may fit and five habits.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    numbers: Box<[f64; NUMBERS]>,
}

impl Profile {
    /// Works a profile out from strikes.
    #[must_use]
    pub fn of(strikes: &Strikes) -> Self {
        // ten nodes for the days' level: with eight, the weights of lengths were off by 4 in 100 on one of five trials
        let nodes = Nodes { scatter: &HERMITE_5, day_level: &LEGENDRE_10, day_slope: &LEGENDRE_6 };
        let mut numbers = Box::new([0.0; NUMBERS]);
        for axis in Axis::BOTH {
            let parts = telling(&normal::evidence_on(&along(strikes, axis), nodes));
            let mut shares = Shares::of(parts.len());
            for (habit_sd, row) in HABIT_SDS_MM.iter().zip(numbers.chunks_exact_mut(FIT_PLACES)) {
                let under = Under::new(&parts, *habit_sd);
                for (place, number) in row.iter_mut().enumerate() {
                    *number += under.ln_sum(fit_place_in(place), &mut shares);
                }
            }
        }
        Self { numbers }
    }

    /// Takes the numbers of a profile that was kept, in the order of [`Profile::numbers`].
    ///
    /// # Errors
    /// [`TrialError::ProfileLength`] unless there are 305 of them, [`TrialError::ProfileNumber`] for one that is not
    /// finite or beyond a million.
    pub fn from_numbers(numbers: &[f64]) -> Result<Self, TrialError> {
        let found = TrialError::ProfileLength { found: numbers.len(), expected: NUMBERS };
        let numbers: Box<[f64; NUMBERS]> = numbers.to_vec().try_into().map_err(|_| found)?;
        // a number that is none lies in no range
        match numbers.iter().position(|number| !(-MOST..=MOST).contains(number)) {
            Some(place) => Err(TrialError::ProfileNumber { place, found: numbers[place], most: MOST }),
            None => Ok(Self { numbers }),
        }
    }

    /// The 305 numbers: for each habit of [`HABIT_SDS_MM`] in turn the 61 lengths that may fit, rising.
    #[must_use]
    pub fn numbers(&self) -> &[f64; NUMBERS] {
        &self.numbers
    }

    /// Log probability at one habit, over the lengths that may fit; `habit` is a place in [`HABIT_SDS_MM`].
    #[must_use]
    pub fn of_habit(&self, habit: usize) -> &[f64] {
        &self.numbers[habit * FIT_PLACES..(habit + 1) * FIT_PLACES]
    }

    /// Whether these strikes say nothing of the length that fits: the profile is flat for every habit.
    #[must_use]
    pub fn is_flat(&self) -> bool {
        self.numbers
            .chunks_exact(FIT_PLACES)
            .all(|row| row.iter().all(|number| number.to_bits() == row[0].to_bits()))
    }
}

/// Leaves the parts that weigh something at one of some lengths and habits spread over the profile.
fn telling(parts: &[Given]) -> Vec<Given> {
    let mut most = vec![0.0_f64; parts.len()];
    let mut shares = Shares::of(parts.len());
    for habit_sd in [HABIT_SDS_MM[0], HABIT_SDS_MM[2], HABIT_SDS_MM[4]] {
        let under = Under::new(parts, habit_sd);
        for place in (0..FIT_PLACES).step_by(10) {
            under.fill(fit_place_in(place), &mut shares);
            let whole: f64 = shares.values.iter().sum();
            for (most, value) in most.iter_mut().zip(&shares.values) {
                *most = most.max(value / whole);
            }
        }
    }
    parts.iter().zip(most).filter(|(_, most)| *most >= NEGLIGIBLE).map(|(part, _)| *part).collect()
}

/// The parts of the grid under one habit, each number in a row of its own so that they are worked out side by side.
///
/// With M and R a part's precision and pull, P₀ the precision of level and slope for a fit f and P = P₀ + M, both det P
/// and det P · R'P⁻¹R are squares in f; a part's probability is exp(weight + R'P⁻¹R / 2) / sqrt(det P). Derived.
struct Under {
    ln_weight: Vec<f64>,
    determinant: [Vec<f64>; 3],
    square: [Vec<f64>; 3],
}

impl Under {
    fn new(parts: &[Given], habit_sd: f64) -> Self {
        let (habit, slope) = (1.0 / (habit_sd * habit_sd), 1.0 / (SLOPE_SD * SLOPE_SD));
        let of_prior = 0.5 * ln(habit * slope);
        let row = |of: &dyn Fn(&Given) -> f64| -> Vec<f64> { parts.iter().map(of).collect() };
        Self {
            ln_weight: row(&|part| part.ln_weight + part.ln_constant + of_prior),
            determinant: [
                row(&|Given { line: GivenLine { precision, .. }, .. }| {
                    (habit + precision.level) * (slope + precision.slope) - precision.both * precision.both
                }),
                row(&|part| -2.0 * habit * part.line.precision.both),
                row(&|part| habit * part.line.precision.level),
            ],
            square: [
                row(&|Given { line: GivenLine { precision, pull, .. }, .. }| {
                    (slope + precision.slope) * pull.level * pull.level
                        - 2.0 * precision.both * pull.level * pull.slope
                        + (habit + precision.level) * pull.slope * pull.slope
                }),
                row(&|part| -2.0 * habit * part.line.pull.level * part.line.pull.slope),
                row(&|part| habit * part.line.pull.level * part.line.pull.level),
            ],
        }
    }

    /// Fills in every part's probability at one length, as multiples of one number; returns its logarithm.
    fn fill(&self, fit: f64, shares: &mut Shares) -> f64 {
        let parts = self.ln_weight.len();
        let ([d0, d1, d2], [s0, s1, s2]) = (&self.determinant, &self.square);
        let (d0, d1, d2, weights) = (&d0[..parts], &d1[..parts], &d2[..parts], &self.ln_weight[..parts]);
        let (s0, s1, s2) = (&s0[..parts], &s1[..parts], &s2[..parts]);
        let (exponents, values) = (&mut shares.exponents[..parts], &mut shares.values[..parts]);
        for part in 0..parts {
            let one = 1.0 / (d0[part] + fit * (d1[part] + fit * d2[part]));
            exponents[part] = weights[part] + 0.5 * one * (s0[part] + fit * (s1[part] + fit * s2[part]));
            values[part] = one.sqrt();
        }
        let greater = |one: f64, other: f64| if one > other { one } else { other };
        let most = by_fours(exponents, f64::NEG_INFINITY, greater);
        for (value, exponent) in values.iter_mut().zip(exponents.iter()) {
            *value *= exp_not_above_zero(exponent - most);
        }
        most
    }

    /// Logarithm of the sum over all parts at one length.
    fn ln_sum(&self, fit: f64, shares: &mut Shares) -> f64 {
        let most = self.fill(fit, shares);
        most + ln(by_fours(&shares.values, 0.0, |one, other| one + other))
    }
}

/// Gathers a row four side by side, in an order that is the same everywhere.
fn by_fours(row: &[f64], start: f64, gather: impl Fn(f64, f64) -> f64) -> f64 {
    let mut lanes = [start; 4];
    let fours = row.chunks_exact(4);
    let rest = fours.remainder().iter().fold(start, |sum, value| gather(sum, *value));
    for four in fours {
        for (lane, value) in lanes.iter_mut().zip(four) {
            *lane = gather(*lane, *value);
        }
    }
    gather(gather(gather(lanes[0], lanes[1]), gather(lanes[2], lanes[3])), rest)
}

/// Room to work in.
struct Shares {
    exponents: Vec<f64>,
    values: Vec<f64>,
}

impl Shares {
    fn of(parts: usize) -> Self {
        Self { exponents: vec![0.0; parts], values: vec![0.0; parts] }
    }
}

#[cfg(test)]
mod tests {
    use super::{FIT_PLACES, HABIT_SDS_MM, MIDDLE, NUMBERS, Profile, fit_place_in};
    use crate::{Strike, Strikes, TrialError};

    fn strikes() -> Strikes {
        // +1/2 in strikes 8 mm nearer the heel and 8 mm higher than -1/2 in; scatter of 5 mm by hand
        let scatter = [4.0, -6.0, 5.0, -4.0, 6.0, -5.0];
        let ball = |session: u32, order: u32, offset_in: f64| {
            let stray = scatter[usize::try_from((order * 5 + session) % 6).unwrap()];
            let turn = scatter[usize::try_from((order * 7 + session) % 6).unwrap()];
            Strike {
                session,
                order,
                offset_in,
                x_mm: 2.0 - 8.0 * offset_in + stray,
                y_mm: -2.0 + 8.0 * offset_in + turn,
            }
        };
        let balls = (1..=2).flat_map(|session| (0..18).map(move |order| (session, order)));
        Strikes::new(
            balls
                .map(|(session, order)| ball(session, order + 1, f64::from(order % 3) / 2.0 - 0.5))
                .collect(),
        )
        .unwrap()
    }

    #[test]
    fn the_places_are_even_and_hold_the_rules_own() {
        assert!(fit_place_in(MIDDLE).abs() < 1e-15);
        assert!((fit_place_in(0) + 1.5).abs() < 1e-15 && (fit_place_in(FIT_PLACES - 1) - 1.5).abs() < 1e-15);
    }

    #[test]
    fn the_305_numbers_make_the_same_profile_again() {
        let profile = Profile::of(&strikes());
        let again = Profile::from_numbers(profile.numbers()).unwrap();
        assert_eq!(again, profile);
        // the documented order: habit by habit
        assert!((again.of_habit(1)[3] - profile.numbers()[61 + 3]).abs() < 1e-15);
        assert_eq!(NUMBERS, 305);
    }

    #[test]
    fn numbers_that_are_no_profile_are_refused() {
        let mut numbers = vec![0.0; NUMBERS];
        numbers[17] = f64::NAN;
        assert!(matches!(Profile::from_numbers(&numbers), Err(TrialError::ProfileNumber { place: 17, .. })));
        numbers[17] = f64::NEG_INFINITY;
        assert!(matches!(Profile::from_numbers(&numbers), Err(TrialError::ProfileNumber { place: 17, .. })));
        assert_eq!(
            Profile::from_numbers(&numbers[1..]),
            Err(TrialError::ProfileLength { found: 304, expected: 305 })
        );
    }

    #[test]
    fn without_strikes_a_profile_is_flat_and_with_them_it_peaks_where_both_axes_cross_the_sweet_spot() {
        assert!(
            Profile::of(&Strikes::new(Vec::new()).unwrap())
                .of_habit(0)
                .iter()
                .all(|number| number.abs() < 1e-2)
        );
        let profile = Profile::of(&strikes());
        assert!(!profile.is_flat());
        for habit in 0..HABIT_SDS_MM.len() {
            let row = profile.of_habit(habit);
            let best = (0..FIT_PLACES).max_by(|one, other| row[*one].total_cmp(&row[*other])).unwrap();
            // both axes cross at 1/4 in; slopes drawn toward zero let it lie a little farther out
            assert!((fit_place_in(best) - 0.25).abs() <= 0.15, "{habit}: {}", fit_place_in(best));
        }
    }
}
