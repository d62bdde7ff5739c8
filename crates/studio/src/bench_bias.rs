//! What accumulated jobs say of the bench itself: whether its scale, its rule or its gauge reads off what the sums say.
//!
//! Every finished reading stands beside what was predicted for it. One is the builder's day; many that lean the same way
//! are the bench's: a scale that reads heavy, plugs that weigh more than is reckoned, a gauge that is off. The lean is the
//! median of the differences and its interval is that of order statistics, which holds whatever their distribution and
//! is not moved by a blunder.

use crate::{Field, Work};

/// Fewest jobs that say something. House choice: with fewer, even the whole range of them covers too little to act on.
pub const FEWEST_JOBS: usize = 8;
/// The least an interval covers.
const COVERS: f64 = 0.8;
/// A lean smaller than this share of the tolerance is not worth a word. House choice.
const WORTH_A_WORD: f64 = 0.25;

/// A job's work, and what was first read of its finished clubs by key, SI: what is read after tape went on says nothing of
/// the scale.
#[derive(Debug, Clone, PartialEq)]
pub struct FinishedWork {
    /// The work.
    pub work: Work,
    /// The first reading of each check: its key and value.
    pub readings: Vec<(String, f64)>,
}

/// How one kind of reading leans from what was predicted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BenchBias {
    /// What is read.
    pub field: Field,
    /// How much more is read than predicted, the median, SI.
    pub median_si: f64,
    /// Its interval, SI: covers at least 80 in 100.
    pub interval_si: (f64, f64),
    /// How many jobs.
    pub jobs: usize,
    /// Half of what passes, SI: against it the lean is weighed.
    pub tolerance_si: f64,
}

impl BenchBias {
    /// Whether it is sure enough and large enough to be acted on.
    #[must_use]
    pub fn is_worth_a_word(&self) -> bool {
        let (low, high) = self.interval_si;
        (low > 0.0 || high < 0.0) && self.median_si.abs() >= self.tolerance_si * WORTH_A_WORD
    }
}

/// Learns from finished work how the bench's readings lean; kinds read in fewer than [`FEWEST_JOBS`] jobs are silent.
///
/// The clubs of one job share a day, a batch of parts and a builder: a job counts once, by the median of its clubs.
#[must_use]
pub fn learn_bench_bias(jobs: &[FinishedWork]) -> Vec<BenchBias> {
    const FIELDS: [Field; 5] =
        [Field::ClubLength, Field::Mass, Field::Swingweight, Field::Lie, Field::Frequency];
    let of = |field: Field| {
        let (mut over, tolerances): (Vec<f64>, Vec<f64>) =
            jobs.iter().filter_map(|job| job_over(job, field)).unzip();
        if over.len() < FEWEST_JOBS {
            return None;
        }
        over.sort_by(f64::total_cmp);
        Some(BenchBias {
            field,
            median_si: median(&over),
            interval_si: interval(&over)?,
            jobs: over.len(),
            tolerance_si: tolerances.iter().sum::<f64>() / tolerances.len() as f64,
        })
    };
    FIELDS.into_iter().filter_map(of).collect()
}

/// How much a job's clubs read over what was predicted, their median, and what passes on either side.
fn job_over(job: &FinishedWork, field: Field) -> Option<(f64, f64)> {
    let found = job.readings.iter().filter_map(|(key, value)| {
        let (_, check) = job.work.check(key).filter(|(_, check)| check.field == field)?;
        Some((value - check.middle_si(), (check.most_si - check.least_si) / 2.0))
    });
    let (mut over, tolerances): (Vec<f64>, Vec<f64>) = found.filter(|(over, _)| over.is_finite()).unzip();
    over.sort_by(f64::total_cmp);
    (!over.is_empty()).then(|| (median(&over), tolerances.iter().sum::<f64>() / tolerances.len() as f64))
}

fn median(sorted: &[f64]) -> f64 {
    let middle = sorted.len() / 2;
    match (sorted.len() % 2, middle.checked_sub(1).and_then(|below| sorted.get(below)), sorted.get(middle)) {
        (0, Some(below), Some(above)) => f64::midpoint(*below, *above),
        (_, _, Some(middle)) => *middle,
        _ => f64::NAN,
    }
}

/// The k-th reading from either end, with the largest k whose interval still covers: it misses the median when fewer
/// than k of n lie on one side, as often as so few heads fall.
fn interval(sorted: &[f64]) -> Option<(f64, f64)> {
    let rank = rank_that_covers(sorted.len())?;
    Some((*sorted.get(rank - 1)?, *sorted.get(sorted.len() - rank)?))
}

/// The largest k with 1 - 2 P(B < k) at least [`COVERS`], where B counts heads in `n` throws.
fn rank_that_covers(n: usize) -> Option<usize> {
    let mut fewer = 0.0;
    // P(B = 0), in logarithms: n may be in the thousands
    let mut log_term = -(n as f64) * std::f64::consts::LN_2;
    let mut rank = 0;
    for k in 1..=n / 2 {
        fewer += log_term.exp();
        if 1.0 - 2.0 * fewer < COVERS {
            break;
        }
        rank = k;
        log_term += ((n - k + 1) as f64 / k as f64).ln();
    }
    (rank > 0).then_some(rank)
}

#[cfg(test)]
mod tests {
    use super::{FinishedWork, interval, learn_bench_bias, median, rank_that_covers};
    use crate::{Check, Field, Work, WorkClub, WorkSection};

    /// Against the binomial distribution by whole numbers: the largest k with 2 ∑_{i<k} C(n, i) at most a fifth of 2^n.
    #[test]
    fn the_rank_is_that_of_exact_binomial_sums() {
        for n in 4..=60_usize {
            let mut below: u128 = 0;
            let mut choose: u128 = 1;
            let mut rank = 0;
            for k in 1..=n / 2 {
                below += choose;
                if 10 * below > 1_u128 << n {
                    break;
                }
                rank = k;
                choose = choose * (n - k + 1) as u128 / k as u128;
            }
            assert_eq!(rank_that_covers(n), (rank > 0).then_some(rank), "{n}");
        }
        // large numbers by the normal approximation: n/2 - 1.2816 √n / 2
        let rank = rank_that_covers(10_000).unwrap() as f64;
        assert!((rank - (5000.0 - 1.2816 * 50.0)).abs() < 2.0, "{rank}");
    }

    #[test]
    fn median_and_interval_of_ranks() {
        let sorted: Vec<f64> = (1..=9).map(f64::from).collect();
        assert!((median(&sorted) - 5.0).abs() < 1e-12 && (median(&sorted[..8]) - 4.5).abs() < 1e-12);
        // n = 9: P(B < 3) = 46/512 = 0.0898, P(B < 4) = 130/512 = 0.254
        assert_eq!(interval(&sorted), Some((3.0, 7.0)));
    }

    fn check(field: Field, middle_si: f64, tolerance_si: f64) -> Check {
        Check {
            field,
            expected: "so".to_owned(),
            least_si: middle_si - tolerance_si,
            most_si: middle_si + tolerance_si,
            repeats_to_si: None,
            when_below: "more".to_owned(),
            when_above: "less".to_owned(),
        }
    }

    fn job(number: usize, over_g: f64) -> FinishedWork {
        let club = WorkClub {
            club: None,
            name: format!("club {number}"),
            what: "extend".to_owned(),
            checks: vec![check(Field::Mass, 0.430, 0.002)],
        };
        let key = club.check_key(&club.checks[0]);
        let section = WorkSection {
            heading: "Extend".to_owned(),
            clubs: vec![club],
            steps: Vec::new(),
            said_before: Vec::new(),
            parts: Vec::new(),
        };
        let work = Work { sections: vec![section], ..Work::default() };
        FinishedWork { work, readings: vec![(key, 0.430 + over_g / 1000.0)] }
    }

    #[test]
    fn a_scale_that_reads_heavy_is_found_and_a_blunder_does_not_move_it() {
        let over = [0.9, 1.2, 1.0, 0.8, 1.1, 1.3, 0.7, 1.0, 250.0];
        let jobs: Vec<FinishedWork> =
            over.iter().enumerate().map(|(number, over)| job(number, *over)).collect();
        let [bias] = learn_bench_bias(&jobs)[..] else { panic!("one kind was read") };
        assert!((bias.median_si - 0.001).abs() < 1e-9);
        assert!((bias.interval_si.0 - 0.0009).abs() < 1e-9 && (bias.interval_si.1 - 0.0012).abs() < 1e-9);
        assert!((bias.tolerance_si - 0.002).abs() < 1e-12);
        assert!(bias.is_worth_a_word());
        assert!(learn_bench_bias(&jobs[..7]).is_empty(), "too few say nothing");
    }

    /// Nine clubs that all read a gram heavy on one day are one job, and one job says nothing.
    #[test]
    fn the_clubs_of_one_job_count_once() {
        let mut one = job(0, 1.0);
        for number in 1..9 {
            let other = job(number, 1.0);
            one.work.sections.extend(other.work.sections);
            one.readings.extend(other.readings);
        }
        assert_eq!(one.readings.len(), 9);
        assert!(learn_bench_bias(&[one]).is_empty());
    }

    #[test]
    fn readings_about_the_prediction_are_no_bias() {
        let over = [-0.9, 0.8, -0.3, 0.2, 0.5, -0.6, 0.1, -0.1, 0.4, -0.4];
        let jobs: Vec<FinishedWork> =
            over.iter().enumerate().map(|(number, over)| job(number, *over)).collect();
        assert!(!learn_bench_bias(&jobs)[0].is_worth_a_word());
    }
}
