//! The integrator: Dormand and Prince's pair of orders 5 and 4, its step chosen by the difference of the two, with a
//! polynomial of order 4 for all that lies between the steps.
//!
//! For equations y' = f(y) that do not ask for the time. The seventh evaluation of a step is the first of the next.
//!
//! Published: Dormand & Prince 1980, J. Comput. Appl. Math. 6, 19-26 (the pair); Hairer, Nørsett & Wanner, Solving Ordinary
//! Differential Equations I, section II.6 (the polynomial). From memory, not re-read; the tests hold every coefficient to
//! the orders they must give.

use super::Accuracy;
use nalgebra::SVector;

/// Weights of the earlier slopes in stages 2 to 6.
const STAGES: [&[f64]; 5] = [
    &[1.0 / 5.0],
    &[3.0 / 40.0, 9.0 / 40.0],
    &[44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0],
    &[19_372.0 / 6_561.0, -25_360.0 / 2_187.0, 64_448.0 / 6_561.0, -212.0 / 729.0],
    &[9_017.0 / 3_168.0, -355.0 / 33.0, 46_732.0 / 5_247.0, 49.0 / 176.0, -5_103.0 / 18_656.0],
];
/// Weights of the six slopes in the result of order 5.
const RESULT: [f64; 6] = [35.0 / 384.0, 0.0, 500.0 / 1_113.0, 125.0 / 192.0, -2_187.0 / 6_784.0, 11.0 / 84.0];
/// The result of order 5 less that of order 4.
const ERROR: [f64; 7] = [
    71.0 / 57_600.0,
    0.0,
    -71.0 / 16_695.0,
    71.0 / 1_920.0,
    -17_253.0 / 339_200.0,
    22.0 / 525.0,
    -1.0 / 40.0,
];
/// Weights of the seven slopes in the last coefficient of the polynomial.
const BETWEEN: [f64; 7] = [
    -12_715_105_075.0 / 11_282_082_432.0,
    0.0,
    87_487_479_700.0 / 32_700_410_799.0,
    -10_690_763_975.0 / 1_880_347_072.0,
    701_980_252_875.0 / 199_316_789_632.0,
    -1_453_857_185.0 / 822_651_844.0,
    69_997_945.0 / 29_380_423.0,
];

/// Part of the step that the error would just allow which is taken, and by how much a step may shrink or grow.
/// Common practice with such pairs, no source.
const SAFETY: f64 = 0.9;
const SHRINK_MOST: f64 = 0.2;
const GROW_MOST: f64 = 6.0;

/// One step, and everything between its ends.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct DenseStep<const N: usize> {
    pub(super) start_s: f64,
    pub(super) width_s: f64,
    coefficients: [SVector<f64, N>; 5],
}

impl<const N: usize> DenseStep<N> {
    pub(super) fn end_s(&self) -> f64 {
        self.start_s + self.width_s
    }

    /// The state at a time within the step.
    pub(super) fn at(&self, time_s: f64) -> SVector<f64, N> {
        SVector::from_fn(|component, _| self.component(component, time_s))
    }

    /// One component of it.
    pub(super) fn component(&self, component: usize, time_s: f64) -> f64 {
        let share = (time_s - self.start_s) / self.width_s;
        let rest = 1.0 - share;
        let [c0, c1, c2, c3, c4] = [0, 1, 2, 3, 4].map(|power: usize| self.coefficients[power][component]);
        c0 + share * (c1 + rest * (c2 + share * (c3 + rest * c4)))
    }
}

/// A step tried: where it ends, the slope there, and by how much the two orders differ.
pub(super) struct Tried<const N: usize> {
    pub(super) end: SVector<f64, N>,
    slope_at_end: SVector<f64, N>,
    error: SVector<f64, N>,
    slopes: [SVector<f64, N>; 7],
}

/// Tries one step of a given width from `start`, whose slope is known.
pub(super) fn try_step<const N: usize>(
    slope_at: impl Fn(&SVector<f64, N>) -> SVector<f64, N>,
    start: &SVector<f64, N>,
    slope_at_start: &SVector<f64, N>,
    width_s: f64,
) -> Tried<N> {
    let mut slopes = [*slope_at_start; 7];
    for (stage, weights) in STAGES.iter().enumerate() {
        slopes[stage + 1] = slope_at(&(start + weighted(weights, &slopes) * width_s));
    }
    let end = start + weighted(&RESULT, &slopes) * width_s;
    slopes[6] = slope_at(&end);
    Tried { end, slope_at_end: slopes[6], error: weighted(&ERROR, &slopes) * width_s, slopes }
}

impl<const N: usize> Tried<N> {
    /// The polynomial through the step.
    pub(super) fn dense(&self, start: &SVector<f64, N>, start_s: f64, width_s: f64) -> DenseStep<N> {
        let change = self.end - start;
        let bend = self.slopes[0] * width_s - change;
        let coefficients = [
            *start,
            change,
            bend,
            change - self.slope_at_end * width_s - bend,
            weighted(&BETWEEN, &self.slopes) * width_s,
        ];
        DenseStep { start_s, width_s, coefficients }
    }

    /// The error in units of what is allowed, root mean square of the components.
    fn error_over_allowed(&self, start: &SVector<f64, N>, accuracy: Accuracy) -> f64 {
        let squares = self.error.zip_zip_map(start, &self.end, |error, start, end| {
            let share = error / (accuracy.absolute + accuracy.relative * start.abs().max(end.abs()));
            share * share
        });
        squares.mean().sqrt()
    }
}

fn weighted<const N: usize>(weights: &[f64], slopes: &[SVector<f64, N>]) -> SVector<f64, N> {
    weights.iter().zip(slopes).fold(SVector::zeros(), |sum, (weight, slope)| sum + slope * *weight)
}

/// A solution under way.
pub(super) struct Integration<const N: usize, F> {
    slope_at: F,
    accuracy: Accuracy,
    longest_step_s: f64,
    time_s: f64,
    state: SVector<f64, N>,
    slope: SVector<f64, N>,
    next_width_s: f64,
    /// Steps tried so far, taken or not.
    pub(super) tried: usize,
}

impl<const N: usize, F: Fn(&SVector<f64, N>) -> SVector<f64, N>> Integration<N, F> {
    pub(super) fn new(
        slope_at: F,
        start: SVector<f64, N>,
        accuracy: Accuracy,
        first_step_s: f64,
        longest_step_s: f64,
    ) -> Self {
        let slope = slope_at(&start);
        Self {
            slope_at,
            accuracy,
            longest_step_s,
            time_s: 0.0,
            state: start,
            slope,
            next_width_s: first_step_s,
            tried: 0,
        }
    }

    /// Takes the next step that is exact enough; none when `most_tried` steps have been tried.
    pub(super) fn advance(&mut self, most_tried: usize) -> Option<DenseStep<N>> {
        while self.tried < most_tried {
            self.tried += 1;
            let (width_s, start_s) = (self.next_width_s, self.time_s);
            let tried = try_step(&self.slope_at, &self.state, &self.slope, width_s);
            let error = tried.error_over_allowed(&self.state, self.accuracy);
            // the error of the lower order grows with the fifth power of the width
            let factor = (SAFETY * error.powf(-0.2)).clamp(SHRINK_MOST, GROW_MOST);
            if error <= 1.0 {
                let dense = tried.dense(&self.state, start_s, width_s);
                self.next_width_s = (width_s * factor).min(self.longest_step_s);
                self.time_s = start_s + width_s;
                self.state = tried.end;
                self.slope = tried.slope_at_end;
                return Some(dense);
            }
            // an error that is no number asks for the shortest step too
            self.next_width_s = width_s * if factor.is_nan() { SHRINK_MOST } else { factor };
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::{Integration, try_step};
    use crate::flight::motion::{Motion, State};
    use crate::flight::{Accuracy, Conditions, Launch};
    use nalgebra::{SVector, Vector3};

    /// A rigid swing with a growing part: (cos t, −sin t, eᵗ/²), smooth and with a closed form.
    fn slope_at(y: &Vector3<f64>) -> Vector3<f64> {
        Vector3::new(y[1], -y[0], 0.5 * y[2])
    }

    fn exact(time_s: f64) -> Vector3<f64> {
        Vector3::new(time_s.cos(), -time_s.sin(), (0.5 * time_s).exp())
    }

    /// Worst errors over a time in steps of one width: at the ends of steps, and at nine places within each.
    fn worst_errors<const N: usize>(
        steps: u32,
        whole_s: f64,
        slope_at: impl Fn(&SVector<f64, N>) -> SVector<f64, N>,
        exact: impl Fn(f64) -> SVector<f64, N>,
    ) -> (f64, f64) {
        let width_s = whole_s / f64::from(steps);
        let (mut state, mut at_ends, mut between) = (exact(0.0), 0.0_f64, 0.0_f64);
        for step in 0..steps {
            let start_s = f64::from(step) * width_s;
            let tried = try_step(&slope_at, &state, &slope_at(&state), width_s);
            let dense = tried.dense(&state, start_s, width_s);
            for tenth in 1..10 {
                let time_s = start_s + width_s * f64::from(tenth) / 10.0;
                between = between.max((dense.at(time_s) - exact(time_s)).norm());
            }
            state = tried.end;
            at_ends = at_ends.max((state - exact(start_s + width_s)).norm());
            assert!((dense.at(dense.end_s()) - state).norm() <= 1e-14 * (1.0 + state.norm()));
        }
        (at_ends, between)
    }

    /// Observed orders at the ends of steps and between them.
    fn observed_orders(runs: &[(f64, (f64, f64))]) -> (f64, f64) {
        let of = |pick: fn(&(f64, f64)) -> f64| {
            observed_order(&runs.iter().map(|(width_s, errors)| (*width_s, pick(errors))).collect::<Vec<_>>())
        };
        (of(|errors| errors.0), of(|errors| errors.1))
    }

    /// Slope of log error over log width by least squares.
    fn observed_order(errors: &[(f64, f64)]) -> f64 {
        let logs: Vec<(f64, f64)> = errors.iter().map(|(width, error)| (width.ln(), error.ln())).collect();
        let count = f64::from(u32::try_from(logs.len()).unwrap());
        let (x, y) = logs.iter().fold((0.0, 0.0), |(x, y), log| (x + log.0 / count, y + log.1 / count));
        let along: f64 = logs.iter().map(|log| (log.0 - x) * (log.1 - y)).sum();
        along / logs.iter().map(|log| (log.0 - x) * (log.0 - x)).sum::<f64>()
    }

    #[test]
    fn errors_fall_with_the_fifth_power_of_the_step() {
        let runs = [10, 20, 40, 80, 160]
            .map(|steps| (4.0 / f64::from(steps), worst_errors(steps, 4.0, slope_at, exact)));
        // between the steps one more error of the same power is made, in a single step: five again
        let (at_ends, between) = observed_orders(&runs);
        assert!((at_ends - 5.0).abs() < 0.15, "{at_ends}");
        assert!((between - 5.0).abs() < 0.15, "{between}");
    }

    #[test]
    fn a_drives_errors_fall_with_the_fifth_power_of_the_step_too() {
        const FINEST: u32 = 4_800;
        let (whole_s, conditions) = (6.0, Conditions::default());
        let launch = Launch { axis_tilt_right_deg: 12.0, ..Launch::straight(70.0, 11.0, 2_600.0) };
        let motion = Motion::new(&launch, &conditions);
        let slope_at = |state: &State| motion.slope_at(state);
        // no closed form: steps so short that their own errors are a ten-thousandth of the least compared
        let width_s = whole_s / f64::from(FINEST);
        let mut finest = vec![Motion::start(&launch)];
        for step in 0..FINEST as usize {
            let state = finest[step];
            finest.push(try_step(slope_at, &state, &slope_at(&state), width_s).end);
        }
        let exact = |time_s: f64| {
            let nearest = (0..=FINEST).min_by(|one, other| {
                let off = |step: &u32| (f64::from(*step) * width_s - time_s).abs();
                off(one).total_cmp(&off(other))
            });
            finest[nearest.unwrap() as usize]
        };
        // over steps longer than these the errors fall faster still, by some sixth power: higher terms outweigh the fifth
        let runs = [60, 80, 120, 160, 240]
            .map(|steps| (whole_s / f64::from(steps), worst_errors(steps, whole_s, slope_at, exact)));
        let (at_ends, between) = observed_orders(&runs);
        assert!((at_ends - 5.0).abs() < 0.15, "{at_ends} {runs:?}");
        assert!((between - 5.0).abs() < 0.15, "{between} {runs:?}");
    }

    #[test]
    fn the_error_estimate_is_of_one_power_less_than_the_step_it_judges() {
        // the result of order 4 misses by h⁵ in one step
        let estimates = [1, 2, 4, 8, 16].map(|halvings| {
            let width_s = 0.5 / f64::from(halvings);
            (width_s, try_step(slope_at, &exact(1.0), &slope_at(&exact(1.0)), width_s).error.norm())
        });
        let order = observed_order(&estimates);
        assert!((order - 5.0).abs() < 0.15, "{order}");
    }

    #[test]
    fn a_tenth_of_the_tolerance_is_about_a_tenth_of_the_error() {
        let error = |tolerance: f64| {
            let accuracy = Accuracy { relative: tolerance, absolute: tolerance };
            let mut run = Integration::new(slope_at, exact(0.0), accuracy, 0.01, 10.0);
            let last = loop {
                let step = run.advance(10_000).unwrap();
                if step.end_s() >= 4.0 {
                    break step;
                }
            };
            (last.at(4.0) - exact(4.0)).norm()
        };
        let errors = [1e-5, 1e-6, 1e-7, 1e-8, 1e-9].map(|tolerance| (tolerance, error(tolerance)));
        let order = observed_order(&errors);
        assert!((order - 1.0).abs() < 0.15, "{errors:?}");
    }

    #[test]
    fn what_stops_being_a_number_ends_in_nothing() {
        let gone = |_: &SVector<f64, 1>| SVector::<f64, 1>::new(f64::NAN);
        let accuracy = Accuracy { relative: 1e-6, absolute: 1e-6 };
        assert!(
            Integration::new(gone, SVector::<f64, 1>::new(1.0), accuracy, 0.1, 1.0).advance(50).is_none()
        );
    }
}
