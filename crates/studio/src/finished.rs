//! What was read of a job's finished clubs, taken together: which are off, and whether they are a set.

use crate::work::{ROUNDING, near_the_limit};
use crate::{Check, Dossier, Field, Id, JobFile, Taken, Verdict, WorkClub};
use ::club::Swingweight;
use ::club::shaft::{ClubOnLine, set_line};
use quantity::{Frequency, InchStep, Length, Mass, Printed};

/// Steps of a set are even to this. Trade practice.
const STEP_WITHIN: Length = Length::inches(1.0 / 16.0);
/// Swingweights of a set lie within half a point on either side of what was planned. Trade practice.
const POINTS_SPREAD: f64 = 1.0;
/// Masses within 2 g on either side. Trade practice.
const MASS_SPREAD: Mass = Mass::grams(4.0);
/// A club's frequency lies this near the set's line. Trade practice.
pub(crate) const OFF_THE_LINE: Frequency = Frequency::cpm(2.0);
/// Fewest clubs a line says something about: two lie on any line.
pub(crate) const FEWEST_ON_A_LINE: usize = 3;

/// A finished reading beside its check.
#[derive(Debug, Clone, Copy)]
pub struct FinishedReading<'a> {
    /// The club.
    pub club: &'a WorkClub,
    /// What it should be.
    pub check: &'a Check,
    /// What was read: one reading, or those at the limit taken together.
    pub taken: Taken,
}

impl FinishedReading<'_> {
    /// How far it lies over the middle of what passes, SI.
    #[must_use]
    pub fn over_si(&self) -> f64 {
        self.taken.mean_si - self.check.middle_si()
    }
}

/// Something a set is not, although each of its clubs may pass.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetFinding {
    /// What was found, with its numbers and clubs.
    pub words: String,
    /// It lies so near the limit that reading again may change it.
    pub is_at_the_limit: bool,
}

impl Dossier {
    /// What was read of a step or check of a job since it was last opened, the oldest first; nothing while it is open.
    #[must_use]
    pub fn read_of(&self, job: &Id, step: &str) -> Vec<f64> {
        let ticks = self.ticks.iter().map(|kept| &kept.record);
        let of_step: Vec<_> =
            ticks.filter(|tick| !tick.removed && tick.job == *job && tick.step == step).collect();
        let since_opened = of_step.rsplit(|tick| !tick.done).next().unwrap_or_default();
        since_opened.iter().filter_map(|tick| tick.value_si).collect()
    }

    /// The finished readings of a job that were taken.
    #[must_use]
    pub fn finished_readings<'a>(&'a self, job: &'a JobFile) -> Vec<FinishedReading<'a>> {
        let checks = job.work.clubs().flat_map(|club| club.checks.iter().map(move |check| (club, check)));
        checks
            .filter_map(|(club, check)| {
                let taken = check.taken(self.read_of(&job.id, &club.check_key(check)))?;
                Some(FinishedReading { club, check, taken })
            })
            .collect()
    }

    /// The finished readings that are out of tolerance.
    #[must_use]
    pub fn off<'a>(&'a self, job: &'a JobFile) -> Vec<FinishedReading<'a>> {
        let mut off = self.finished_readings(job);
        off.retain(|reading| matches!(reading.check.judge_mean(reading.taken), Verdict::Off(_)));
        off
    }

    /// What the finished clubs are not as a set: steps that are not even, swingweights, masses and frequencies that
    /// stray from what was planned for each.
    #[must_use]
    pub fn set_findings(&self, job: &JobFile) -> Vec<SetFinding> {
        findings(&self.finished_readings(job))
    }
}

fn findings(readings: &[FinishedReading<'_>]) -> Vec<SetFinding> {
    let of = |field: Field| -> Vec<FinishedReading<'_>> {
        readings.iter().copied().filter(|reading| reading.check.field == field).collect()
    };
    let (lengths, frequencies) = (of(Field::ClubLength), of(Field::Frequency));
    let points = |si: f64| si / Swingweight::moment_of_points(1.0).as_kilogram_metres();
    let mut findings = steps(&lengths);
    findings.extend(spread(
        &of(Field::Swingweight),
        &Spread {
            what: "swingweights",
            limit_si: Swingweight::moment_of_points(POINTS_SPREAD).as_kilogram_metres(),
            say: &|si| Printed::new(points(si), 1, "points").to_string(),
            ways: ("heavy", "light"),
        },
    ));
    findings.extend(spread(
        &of(Field::Mass),
        &Spread {
            what: "masses",
            limit_si: MASS_SPREAD.as_kilograms(),
            say: &|si| Mass::kilograms(si).grams_printed(1).to_string(),
            ways: ("heavy", "light"),
        },
    ));
    findings.extend(off_the_line(&lengths, &frequencies));
    findings
}

/// Neighbours whose step is not the planned one.
fn steps(lengths: &[FinishedReading<'_>]) -> Vec<SetFinding> {
    let mut sorted = lengths.to_vec();
    sorted.sort_by(|a, b| b.check.middle_si().total_cmp(&a.check.middle_si()));
    let pairs = sorted.windows(2).filter_map(|pair| {
        let [longer, shorter] = pair else { return None };
        let off_si = longer.over_si() - shorter.over_si();
        let is_at_the_limit = judged(off_si.abs(), STEP_WITHIN.as_metres(), longer.check)?;
        let step = |si: f64| Length::metres(si).to_step(InchStep::Sixteenth);
        Some(SetFinding {
            words: format!(
                "{} to {}: a step of {} where {} was planned",
                longer.club.name,
                shorter.club.name,
                step(longer.taken.mean_si - shorter.taken.mean_si),
                step(longer.check.middle_si() - shorter.check.middle_si())
            ),
            is_at_the_limit,
        })
    });
    pairs.collect()
}

/// How a number's spread over a set is told.
struct Spread<'a> {
    what: &'a str,
    limit_si: f64,
    say: &'a dyn Fn(f64) -> String,
    ways: (&'a str, &'a str),
}

/// The set's two ends, when they lie too far apart about what was planned for each.
fn spread(readings: &[FinishedReading<'_>], of: &Spread<'_>) -> Option<SetFinding> {
    let by = |a: &&FinishedReading<'_>, b: &&FinishedReading<'_>| a.over_si().total_cmp(&b.over_si());
    let (low, high) = (readings.iter().min_by(by)?, readings.iter().max_by(by)?);
    let spread_si = high.over_si() - low.over_si();
    let is_at_the_limit = judged(spread_si, of.limit_si, high.check)?;
    let told = |reading: &FinishedReading<'_>| {
        let way = if reading.over_si() < 0.0 { of.ways.1 } else { of.ways.0 };
        format!("{} {} {way}", reading.club.name, (of.say)(reading.over_si().abs()))
    };
    Some(SetFinding {
        words: format!(
            "The {} spread over {} about what was planned: {}, {}",
            of.what,
            (of.say)(spread_si),
            told(high),
            told(low)
        ),
        is_at_the_limit,
    })
}

/// Clubs that stand off the line through all of them.
fn off_the_line(lengths: &[FinishedReading<'_>], frequencies: &[FinishedReading<'_>]) -> Vec<SetFinding> {
    let on_line: Vec<(&FinishedReading<'_>, ClubOnLine)> = frequencies
        .iter()
        .filter_map(|reading| {
            let length = lengths.iter().find(|length| length.club.name == reading.club.name)?;
            let frequency = Frequency::hertz(reading.taken.mean_si);
            Some((reading, ClubOnLine { length: Length::metres(length.taken.mean_si), frequency }))
        })
        .collect();
    let clubs: Vec<ClubOnLine> = on_line.iter().map(|(_, club)| *club).collect();
    let line = match set_line(&clubs) {
        Ok(line) if clubs.len() >= FEWEST_ON_A_LINE => line,
        _ => return Vec::new(),
    };
    let off = on_line.iter().zip(&line.above).filter_map(|((reading, _), above)| {
        let is_at_the_limit = judged(above.abs().as_hertz(), OFF_THE_LINE.as_hertz(), reading.check)?;
        let way = if *above < Frequency::ZERO { "under" } else { "over" };
        Some(SetFinding {
            words: format!(
                "{}: {} {way} the set's line of {:.1} cpm an inch",
                reading.club.name,
                above.abs().cpm_printed(1),
                line.slope_cpm_per_in_shorter
            ),
            is_at_the_limit,
        })
    });
    off.collect()
}

/// Whether a difference of two readings is beyond its limit: nothing when it is not, else whether it is so near that two
/// other readings may not be. Derived: a difference of two readings strays √2 times as far as one.
fn judged(found_si: f64, limit_si: f64, check: &Check) -> Option<bool> {
    let near = near_the_limit(check) * std::f64::consts::SQRT_2;
    // what stands exactly on the limit, by typed numbers, is within it
    if found_si <= limit_si + ROUNDING { None } else { Some(found_si < limit_si + near) }
}

#[cfg(test)]
mod tests {
    use super::{FinishedReading, findings};
    use crate::{Check, Taken, WorkClub};
    use bench::CheckReading;
    use club::Swingweight;
    use quantity::{Frequency, Length, Mass};

    /// A set of irons half an inch apart, all of one swingweight, on a line of 8 cpm an inch.
    fn set() -> Vec<WorkClub> {
        let club = |place: u8| {
            let shorter = f64::from(place) / 2.0;
            let readings = [
                CheckReading::Length(Length::inches(38.0 - shorter)),
                CheckReading::Mass(Mass::grams(420.0 + 7.0 * f64::from(place))),
                CheckReading::Swingweight(Swingweight::parse("D2").unwrap()),
                CheckReading::Frequency(Frequency::cpm(300.0 + 8.0 * shorter), Frequency::ZERO),
            ];
            WorkClub {
                club: None,
                name: format!("{} iron", 5 + place),
                what: String::new(),
                checks: readings.iter().map(Check::of).collect(),
            }
        };
        (0..5).map(club).collect()
    }

    /// What is found when every reading is as planned but these: club, check, and how much over, SI.
    fn found(over: &[(usize, usize, f64)]) -> Vec<(String, bool)> {
        let set = set();
        let mut readings: Vec<FinishedReading<'_>> = set
            .iter()
            .flat_map(|club| {
                club.checks.iter().map(move |check| FinishedReading {
                    club,
                    check,
                    taken: Taken { mean_si: check.middle_si(), count: 1 },
                })
            })
            .collect();
        for (club, check, over_si) in over {
            readings[club * 4 + check].taken.mean_si += over_si;
        }
        findings(&readings).into_iter().map(|finding| (finding.words, finding.is_at_the_limit)).collect()
    }

    const INCH: f64 = 0.0254;

    #[test]
    fn a_set_as_planned_has_nothing_to_be_said_of_it() {
        assert_eq!(found(&[]), []);
        // all alike long, heavy and stiff: each is off by itself, the set is even
        let all: Vec<(usize, usize, f64)> =
            (0..5).flat_map(|club| [(club, 0, 0.1 * INCH), (club, 1, 0.003)]).collect();
        assert_eq!(found(&all), []);
    }

    #[test]
    fn clubs_that_pass_one_by_one_may_be_no_set() {
        // a sixteenth long beside a sixteenth short: the step is an eighth off
        let steps = found(&[(1, 0, INCH / 16.0), (2, 0, -INCH / 16.0)]);
        assert_eq!(steps[0].0, "6 iron to 7 iron: a step of 5/8 in where 1/2 in was planned");
        assert_eq!(steps.len(), 1, "a step a sixteenth off is even: {steps:?}");
        assert!(!steps[0].1);
        let near = found(&[(1, 0, 1.2 * INCH / 16.0)]);
        assert!(!near.is_empty() && near.iter().all(|(_, is_at_the_limit)| *is_at_the_limit), "{near:?}");
        let point = Swingweight::moment_of_points(1.0).as_kilogram_metres();
        let scale = found(&[(0, 2, 0.8 * point), (4, 2, -0.6 * point)]);
        let words = "The swingweights spread over 1.4 points about what was planned: 5 iron 0.8 points heavy, 9 iron 0.6 \
                     points light";
        assert_eq!(scale, [(words.to_owned(), false)]);
        let masses = found(&[(0, 1, 0.0035), (4, 1, -0.002)]);
        assert!(masses[0].0.starts_with("The masses spread over 5.5 g") && !masses[0].1, "{masses:?}");
    }

    /// One club 6 cpm over: the line of least squares rises with it, by hand to 4.8 over for a middle club of five.
    #[test]
    fn a_club_off_the_frequency_line_is_named() {
        let off = found(&[(2, 3, Frequency::cpm(6.0).as_hertz())]);
        assert_eq!(off, [("7 iron: 4.8 cpm over the set's line of 8.0 cpm an inch".to_owned(), false)]);
    }
}
