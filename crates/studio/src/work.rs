//! The work of a job, written down when it was planned, so that ticks keep their meaning whatever changes later.

use crate::part_words;
use crate::{Field, Id};
use bench::{CheckReading, PartKind, PartLine, SetPlan};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A reading that is due, and what passes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Check {
    /// What is read.
    pub field: Field,
    /// What it should be, with its tolerance.
    pub expected: String,
    /// The least that passes, SI.
    pub least_si: f64,
    /// The most that passes, SI.
    pub most_si: f64,
    /// What two readings differ by at most, 95 in 100 times, SI; not known of work written down before it was kept.
    #[serde(default)]
    pub repeats_to_si: Option<f64>,
    /// What to do when it is less.
    pub when_below: String,
    /// What to do when it is more.
    pub when_above: String,
}

/// How a reading stands to its check.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict<'a> {
    /// It passes.
    Passes,
    /// It lies so near the limit that another reading may fall on its other side: read again.
    AtTheLimit,
    /// It does not; what to do.
    Off(&'a str),
}

/// How near the limit a reading tells nothing, as a share of what two readings differ by. Derived: the repeatability limit
/// of ISO 5725 is 1.96 √2 standard deviations of one reading, and 1.28 of them are left on one side 10 times in 100:
/// 1.2816 / 2.7718.
const NEAR_THE_LIMIT: f64 = 0.4624;

/// As many readings of one club decide by their mean, however near its limit it lies. Trade practice: a reading in doubt
/// is taken three times.
const READINGS_THAT_DECIDE: u32 = 3;

/// Readings of one check that are taken together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taken {
    /// Their mean, SI.
    pub mean_si: f64,
    /// How many there are.
    pub count: u32,
}

impl Taken {
    const fn one(value_si: f64) -> Self {
        Self { mean_si: value_si, count: 1 }
    }

    fn and(self, value_si: f64) -> Self {
        let count = self.count + 1;
        Self { mean_si: self.mean_si + (value_si - self.mean_si) / f64::from(count), count }
    }
}

/// Rounding of a typed value: what stands exactly on the tolerance passes. Derived: far below any instrument.
pub(crate) const ROUNDING: f64 = 1e-9;

impl Check {
    pub(crate) fn of(reading: &CheckReading) -> Self {
        let (least_si, most_si) = reading.range_si();
        Self {
            field: match reading {
                CheckReading::Length(_) => Field::ClubLength,
                CheckReading::Mass(_) => Field::Mass,
                CheckReading::Swingweight(_) => Field::Swingweight,
                CheckReading::Lie(_) => Field::Lie,
                CheckReading::Frequency(..) => Field::Frequency,
            },
            expected: reading.expected(),
            least_si,
            most_si,
            repeats_to_si: Some(reading.repeats_to_si()),
            when_below: reading.when_off(true).to_owned(),
            when_above: reading.when_off(false).to_owned(),
        }
    }

    /// What it should be, SI: the middle of what passes.
    #[must_use]
    pub fn middle_si(&self) -> f64 {
        f64::midpoint(self.least_si, self.most_si)
    }

    /// Takes readings together, the oldest first. One that was taken again because those before it lay at the limit joins
    /// them while it is as near their mean as readings of one club are; else something was done to the club in between,
    /// and it begins anew.
    #[must_use]
    pub fn taken(&self, readings: impl IntoIterator<Item = f64>) -> Option<Taken> {
        readings.into_iter().fold(None, |before, value_si| match before {
            Some(taken)
                if self.judge_mean(taken) == Verdict::AtTheLimit && self.is_alike(taken, value_si) =>
            {
                Some(taken.and(value_si))
            }
            _ => Some(Taken::one(value_si)),
        })
    }

    /// Whether a reading may be of the same club as those taken. Derived: a reading and a mean of n of them differ by
    /// `√(1 + 1/n)` standard deviations of one, two readings by √2.
    fn is_alike(&self, taken: Taken, value_si: f64) -> bool {
        let repeats = self.repeats_to_si.unwrap_or(0.0) * ((1.0 + 1.0 / f64::from(taken.count)) / 2.0).sqrt();
        (value_si - taken.mean_si).abs() <= repeats + ROUNDING
    }

    /// Judges one reading.
    #[must_use]
    pub fn judge(&self, value_si: f64) -> Verdict<'_> {
        self.judge_mean(Taken::one(value_si))
    }

    /// Judges the mean of readings. The more there are, the nearer the limit it tells something.
    #[must_use]
    pub fn judge_mean(&self, taken: Taken) -> Verdict<'_> {
        let Taken { mean_si: value_si, count } = taken;
        let near =
            if count < READINGS_THAT_DECIDE { near_the_limit(self) / f64::from(count).sqrt() } else { 0.0 };
        if near > 0.0 && [self.least_si, self.most_si].iter().any(|limit| (value_si - limit).abs() < near) {
            return Verdict::AtTheLimit;
        }
        if value_si < self.least_si - ROUNDING {
            Verdict::Off(&self.when_below)
        } else if value_si > self.most_si + ROUNDING {
            Verdict::Off(&self.when_above)
        } else {
            Verdict::Passes
        }
    }
}

/// How near a limit a reading of this check tells nothing, SI.
pub(crate) fn near_the_limit(check: &Check) -> f64 {
    check.repeats_to_si.unwrap_or(0.0) * NEAR_THE_LIMIT
}

/// A step at the bench.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WorkStep {
    /// Its key, told apart within the job.
    pub key: String,
    /// What to do.
    pub what: String,
    /// What to look for.
    pub look_for: String,
    /// Whether a reading is written down.
    pub takes_reading: bool,
    /// Cautions beside it.
    pub cautions: Vec<String>,
    /// The parts that are used up at it.
    #[serde(default, with = "part_words::many")]
    #[schemars(with = "Vec<String>")]
    pub uses: Vec<PartKind>,
}

/// A part the clubs of a section need.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WorkPart {
    /// What it is.
    #[serde(with = "part_words")]
    #[schemars(with = "String")]
    pub kind: PartKind,
    /// What to take, with the sizes that decide it.
    pub what: String,
    /// How many: pieces, or inches of a roll.
    pub count: u32,
    /// The diameter that decides, metres.
    #[serde(default)]
    pub diameter_m: Option<f64>,
    /// What one weighs where that decides, kilograms.
    #[serde(default)]
    pub mass_kg: Option<f64>,
}

impl WorkPart {
    fn of(line: &PartLine) -> Self {
        Self {
            kind: line.kind,
            what: line.words(),
            count: line.count(),
            diameter_m: line.diameter.map(quantity::Length::as_metres),
            mass_kg: line.mass.map(quantity::Mass::as_kilograms),
        }
    }
}

/// A club of the work.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WorkClub {
    /// The club's id; absent when the job came from a card.
    #[serde(default)]
    pub club: Option<Id>,
    /// Its name.
    pub name: String,
    /// What is done to it, as `extend 1/2 in`.
    pub what: String,
    /// What is read when it is finished.
    pub checks: Vec<Check>,
}

impl WorkClub {
    /// Returns the key of a finished reading of this club.
    #[must_use]
    pub fn check_key(&self, check: &Check) -> String {
        format!("{}: {}", self.name, check.field.key())
    }
}

/// The clubs that take one way, and its steps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WorkSection {
    /// The way, as a heading.
    pub heading: String,
    /// The clubs, the first one first.
    pub clubs: Vec<WorkClub>,
    /// The steps.
    pub steps: Vec<WorkStep>,
    /// What is said, or signed for, before: clubs and words.
    pub said_before: Vec<String>,
    /// The parts its clubs need; none in work written down before parts were kept.
    #[serde(default)]
    pub parts: Vec<WorkPart>,
}

impl WorkSection {
    /// Returns the step at which a part of this kind is used up.
    #[must_use]
    pub fn step_that_uses(&self, kind: PartKind) -> Option<&WorkStep> {
        self.steps.iter().find(|step| step.uses.contains(&kind))
    }
}

/// The work of a job.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Work {
    /// Why it waits, if it does.
    #[serde(default)]
    pub waits_for: Option<String>,
    /// The club that goes first.
    #[serde(default)]
    pub first_club: Option<String>,
    /// The sections.
    pub sections: Vec<WorkSection>,
    /// Parts, one line each.
    pub parts: Vec<String>,
    /// Minutes at the bench.
    pub minutes: u32,
    /// Hours of curing; zero when nothing is glued.
    pub cure_hours: u32,
    /// When to stop and ask.
    pub stop_and_ask: Vec<String>,
}

impl Work {
    /// Writes down the work of a plan; `id_of` finds a club's id by its name.
    #[must_use]
    pub fn of(plan: &SetPlan, id_of: impl Fn(&str) -> Option<Id>) -> Self {
        let job = &plan.job;
        let sections = job.sections.iter().enumerate().map(|(place, section)| WorkSection {
            heading: section.kind.heading().to_owned(),
            clubs: section
                .clubs
                .iter()
                .map(|club| WorkClub {
                    club: id_of(&club.name),
                    name: club.name.clone(),
                    what: club.way.words(),
                    checks: club.readings_due().iter().map(Check::of).collect(),
                })
                .collect(),
            steps: section
                .operations
                .iter()
                .enumerate()
                .map(|(number, step)| WorkStep {
                    key: format!("{place}.{number}"),
                    what: step.what.clone(),
                    look_for: step.look_for.clone(),
                    takes_reading: step.has_reading,
                    cautions: step.cautions.iter().map(ToString::to_string).collect(),
                    uses: step.uses.clone(),
                })
                .collect(),
            said_before: section
                .to_be_said()
                .iter()
                .map(|word| format!("{}, {}: {}", word.clubs.join(", "), word.why.words(), word.text))
                .collect(),
            parts: section.parts.iter().map(WorkPart::of).collect(),
        });
        Self {
            waits_for: job.waits_for.map(str::to_owned),
            first_club: job.first_club.clone(),
            sections: sections.collect(),
            parts: job
                .parts
                .iter()
                .map(|part| match part.spare {
                    0 => format!("{} × {}", part.needed, part.words()),
                    spare => format!("{} × {}, and {spare} spare", part.needed, part.words()),
                })
                .collect(),
            minutes: job.minutes,
            cure_hours: job.cure_hours,
            stop_and_ask: job.stop_and_ask.iter().map(ToString::to_string).collect(),
        }
    }

    /// Returns every step with its section.
    pub fn steps(&self) -> impl Iterator<Item = (&WorkSection, &WorkStep)> {
        self.sections.iter().flat_map(|section| section.steps.iter().map(move |step| (section, step)))
    }

    /// Returns every club.
    pub fn clubs(&self) -> impl Iterator<Item = &WorkClub> {
        self.sections.iter().flat_map(|section| &section.clubs)
    }

    /// Returns how many things there are to tick: steps and finished readings.
    #[must_use]
    pub fn ticks_due(&self) -> usize {
        self.steps().count() + self.clubs().map(|club| club.checks.len()).sum::<usize>()
    }

    /// Finds the check of a finished reading by its key.
    #[must_use]
    pub fn check(&self, key: &str) -> Option<(&WorkClub, &Check)> {
        self.clubs().find_map(|club| {
            club.checks.iter().find(|check| club.check_key(check) == key).map(|check| (club, check))
        })
    }

    /// Tells whether the key is of a step or a check of this work.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.steps().any(|(_, step)| step.key == key) || self.check(key).is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::{Check, NEAR_THE_LIMIT, Verdict};
    use crate::Field;
    use bench::CheckReading;
    use club::Swingweight;
    use quantity::{Angle, Frequency, Length, Mass};

    fn every_check() -> Vec<Check> {
        [
            CheckReading::Length(Length::inches(37.0)),
            CheckReading::Mass(Mass::grams(430.0)),
            CheckReading::Swingweight(Swingweight::parse("D2").unwrap()),
            CheckReading::Lie(Angle::degrees(62.0)),
            CheckReading::Frequency(Frequency::cpm(300.0), Frequency::cpm(0.4)),
        ]
        .iter()
        .map(Check::of)
        .collect()
    }

    #[test]
    fn readings_at_the_limit_are_taken_together_and_three_of_them_decide() {
        for check in every_check() {
            let repeats = check.repeats_to_si.unwrap();
            let limit = check.most_si;
            let one = check.taken([limit]).unwrap();
            assert_eq!((one.count, check.judge_mean(one)), (1, Verdict::AtTheLimit));
            // half of what readings repeat to over the limit: two of them lie a quarter over, still too near to tell
            let two = check.taken([limit, limit + repeats / 2.0]).unwrap();
            assert!((two.mean_si - (limit + repeats / 4.0)).abs() < 1e-12 && two.count == 2);
            assert_eq!(check.judge_mean(two), Verdict::AtTheLimit, "{}", check.expected);
            let over = check.taken([limit, limit + repeats / 2.0, limit + repeats / 4.0]).unwrap();
            assert_eq!((over.count, check.judge_mean(over)), (3, Verdict::Off(&check.when_above)));
            let within = check.taken([limit, limit - repeats / 4.0, limit - repeats / 4.0]).unwrap();
            assert_eq!((within.count, check.judge_mean(within)), (3, Verdict::Passes));
        }
    }

    #[test]
    fn a_reading_far_from_those_before_it_is_of_a_club_that_was_mended() {
        for check in every_check() {
            let repeats = check.repeats_to_si.unwrap();
            let mended = check.taken([check.most_si, check.most_si - 1.2 * repeats]).unwrap();
            assert_eq!(mended.count, 1, "{}", check.expected);
            // what was decided is not averaged with what is read later
            let again = check.taken([check.middle_si(), check.most_si]).unwrap();
            assert_eq!((again.count, check.judge_mean(again)), (1, Verdict::AtTheLimit));
        }
        assert_eq!(every_check()[0].taken([]), None);
    }

    #[test]
    fn on_target_passes_far_off_does_not_and_on_the_limit_says_so() {
        for check in every_check() {
            let half = (check.most_si - check.least_si) / 2.0;
            let repeats = check.repeats_to_si.unwrap();
            assert_eq!(check.judge(check.middle_si()), Verdict::Passes, "{}", check.expected);
            assert_eq!(check.judge(check.most_si), Verdict::AtTheLimit, "{}", check.expected);
            assert_eq!(check.judge(check.least_si), Verdict::AtTheLimit, "{}", check.expected);
            assert_eq!(check.judge(check.most_si + repeats), Verdict::Off(&check.when_above));
            assert_eq!(check.judge(check.least_si - repeats), Verdict::Off(&check.when_below));
            // a reading that is as likely good as not is not called good
            assert!(repeats * NEAR_THE_LIMIT < half, "{}: nothing would ever pass", check.expected);
        }
    }

    /// 1.2816 is the 0.9 quantile of the normal distribution, 1.96 √2 the repeatability limit's factor.
    #[test]
    fn the_share_follows_from_the_normal_distribution() {
        assert!((NEAR_THE_LIMIT - 1.281_55 / (1.959_96 * 2.0_f64.sqrt())).abs() < 5e-5);
    }

    #[test]
    fn work_from_before_repeatability_was_kept_is_judged_as_it_was() {
        let old = Check { repeats_to_si: None, ..every_check().remove(0) };
        assert_eq!(old.field, Field::ClubLength);
        assert_eq!(old.judge(old.most_si), Verdict::Passes);
        let json = serde_json::to_string(&old).unwrap().replace(",\"repeats_to_si\":null", "");
        assert!(!json.contains("repeats"));
        assert_eq!(serde_json::from_str::<Check>(&json).unwrap(), old);
    }
}
