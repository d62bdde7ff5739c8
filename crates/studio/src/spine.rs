//! The spine: six stations with the one number each has produced, and the one next step.

use crate::{Dossier, Field, HouseSettings, JobState, NoPlan};
use jiff::civil::Date;
use quantity::{InchStep, Length};
use sheet::DateLanguage;

/// A station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StationName {
    /// Body readings.
    Measure,
    /// What is there.
    Clubs,
    /// What each club should be.
    Target,
    /// Which length is best, over days.
    Trial,
    /// What the bench does.
    Job,
    /// Did it hold?
    FollowUp,
}

impl StationName {
    /// All six, in order.
    pub const ALL: [Self; 6] =
        [Self::Measure, Self::Clubs, Self::Target, Self::Trial, Self::Job, Self::FollowUp];

    /// Names it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Measure => "Measure",
            Self::Clubs => "Clubs",
            Self::Target => "Target",
            Self::Trial => "Trial",
            Self::Job => "Job",
            Self::FollowUp => "Follow-up",
        }
    }

    /// Its part of an address.
    #[must_use]
    pub fn path(self) -> &'static str {
        match self {
            Self::Measure => "measure",
            Self::Clubs => "clubs",
            Self::Target => "target",
            Self::Trial => "trial",
            Self::Job => "job",
            Self::FollowUp => "follow-up",
        }
    }
}

/// How far a station is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StationState {
    /// Nothing was done.
    NotStarted,
    /// Begun.
    InHand,
    /// Done.
    Done,
    /// Something about it is wrong or out of date.
    LookAgain,
}

impl StationState {
    /// Names it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::NotStarted => "not started",
            Self::InHand => "in hand",
            Self::Done => "done",
            Self::LookAgain => "needs another look",
        }
    }
}

/// One station of one golfer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Station {
    /// Which.
    pub name: StationName,
    /// How far.
    pub state: StationState,
    /// The number it produced, or what stands instead.
    pub number: String,
    /// What the number rests on.
    pub basis: String,
}

/// The one thing to do next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextStep {
    /// Where it is done.
    pub at: StationName,
    /// What the button says.
    pub label: String,
}

/// A golfer's spine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spine {
    /// The six stations.
    pub stations: [Station; 6],
    /// What is next.
    pub next: NextStep,
}

impl Dossier {
    /// Tells where the golfer is.
    #[must_use]
    pub fn spine(&self, house: &HouseSettings, today: Date) -> Spine {
        let plan = self.plan(house, today);
        let stations = [
            self.measure_station(
                house.dates(),
                plan.as_ref().err(),
                plan.as_ref().is_ok_and(|plan| plan.job.waits_for.is_some()),
            ),
            self.clubs_station(),
            self.target_station(plan.as_ref().ok()),
            self.trial_station(),
            self.job_station(),
            self.follow_up_station(house.dates(), today),
        ];
        let next = self.next_step(&stations);
        Spine { stations, next }
    }

    fn measure_station(
        &self,
        dates: DateLanguage,
        no_plan: Option<&NoPlan>,
        must_measure_again: bool,
    ) -> Station {
        let readings = self.body(Field::KnuckleHeight);
        let name = StationName::Measure;
        let Some(last) = readings.last() else {
            return Station {
                name,
                state: StationState::NotStarted,
                number: "no reading".to_owned(),
                basis: "knuckle height first".to_owned(),
            };
        };
        let is_refused = matches!(no_plan, Some(NoPlan::Refused(card, problems)) if problems
            .iter()
            .any(|problem| matches!(card.source_of(problem), Some(crate::Source::Body(_) | crate::Source::Golfer(_)))));
        #[expect(clippy::cast_precision_loss, reason = "a handful of readings")]
        let mean =
            readings.iter().filter_map(|reading| reading.value_si).sum::<f64>() / readings.len() as f64;
        let count =
            if readings.len() == 1 { "1 reading".to_owned() } else { format!("{} readings", readings.len()) };
        Station {
            name,
            state: if is_refused || must_measure_again {
                StationState::LookAgain
            } else {
                StationState::Done
            },
            number: Length::metres(mean).to_step(InchStep::Eighth).to_string(),
            basis: format!("knuckle height, {count}, {}", dates.day(last.day)),
        }
    }

    fn clubs_station(&self) -> Station {
        let all = self.live_clubs().count();
        let measured = self.clubs_with_length().count();
        let weighed = self
            .clubs_with_length()
            .filter(|club| {
                let has = |field| self.club_reading(&club.id, field).is_some();
                has(Field::Mass) && (has(Field::Balance) || has(Field::Swingweight))
            })
            .count();
        let (state, number, basis) = match (all, measured) {
            (0, _) => (StationState::NotStarted, "no club".to_owned(), "lengths first".to_owned()),
            (all, measured) if measured < all => {
                (StationState::InHand, format!("{measured} of {all}"), "have a length".to_owned())
            }
            (all, _) => {
                let clubs = if all == 1 { "1 club".to_owned() } else { format!("{all} clubs") };
                (StationState::Done, clubs, format!("{weighed} weighed and balanced"))
            }
        };
        Station { name: StationName::Clubs, state, number, basis }
    }

    fn target_station(&self, plan: Option<&bench::SetPlan>) -> Station {
        let name = StationName::Target;
        let kept = self.target().map(|kept| &kept.record);
        let Some(plan) = plan else {
            return Station {
                name,
                state: StationState::NotStarted,
                number: "none yet".to_owned(),
                basis: "follows from the knuckle height".to_owned(),
            };
        };
        if plan.target.is_for_a_growing_golfer() {
            return Station {
                name,
                state: if kept.is_some() { StationState::Done } else { StationState::InHand },
                number: plan.target.junior.map_or_else(
                    || "growing".to_owned(),
                    |chart| {
                        format!(
                            "{} to {}",
                            chart.seven_iron.0.to_step(InchStep::Quarter).number(),
                            chart.seven_iron.1.to_step(InchStep::Quarter)
                        )
                    },
                ),
                basis: "seven-iron, by a junior chart".to_owned(),
            };
        }
        let words = target_words(plan);
        let (state, basis) = match kept {
            None if plan.target.is_moved_by_trial() => {
                (StationState::InHand, "six-iron, from the rule and a trial".to_owned())
            }
            None => (StationState::InHand, "six-iron, from the rule alone".to_owned()),
            Some(kept) if kept.words == words => (StationState::Done, "six-iron, kept".to_owned()),
            Some(kept) => {
                (StationState::LookAgain, format!("kept as {}; the readings now say otherwise", kept.words))
            }
        };
        Station { name, state, number: words, basis }
    }

    fn trial_station(&self) -> Station {
        let name = StationName::Trial;
        let Some(trial) = self.trial().map(|kept| &kept.record) else {
            return Station {
                name,
                state: StationState::NotStarted,
                number: "not run".to_owned(),
                basis: "strikes over days decide".to_owned(),
            };
        };
        let visits = self.visits_hit(trial);
        match &trial.verdict {
            Some(verdict) => Station {
                name,
                state: StationState::Done,
                number: verdict.words.clone(),
                basis: self.rests_on(trial),
            },
            None => Station {
                name,
                state: StationState::InHand,
                number: format!("{visits} of {} visits", trial.visits),
                basis: "the code is not opened yet".to_owned(),
            },
        }
    }

    fn job_station(&self) -> Station {
        let name = StationName::Job;
        let Some(job) = self.job().map(|kept| &kept.record) else {
            return Station {
                name,
                state: StationState::NotStarted,
                number: "no job".to_owned(),
                basis: "made from the target".to_owned(),
            };
        };
        let state = match job.state {
            JobState::OnHold | JobState::Rework => StationState::LookAgain,
            JobState::HandedOver | JobState::FollowUpDue | JobState::Closed | JobState::Cancelled => {
                StationState::Done
            }
            _ => StationState::InHand,
        };
        Station {
            name,
            state,
            number: format!("job {}, {}", job.number, job.state.words()),
            basis: format!("{} of {} ticked", self.ticks_done(job), job.work.ticks_due()),
        }
    }

    fn follow_up_station(&self, dates: DateLanguage, today: Date) -> Station {
        let name = StationName::FollowUp;
        let Some(follow_up) = self.follow_up().map(|kept| &kept.record) else {
            return Station {
                name,
                state: StationState::NotStarted,
                number: "no day".to_owned(),
                basis: "two to six weeks after hand-over".to_owned(),
            };
        };
        let (state, number, basis) = match follow_up.done {
            Some(done) => (StationState::Done, dates.day(done), "seen again".to_owned()),
            None if follow_up.due < today => {
                (StationState::LookAgain, dates.day(follow_up.due), "overdue".to_owned())
            }
            None => (StationState::InHand, dates.day(follow_up.due), "to see again".to_owned()),
        };
        Station { name, state, number, basis }
    }

    fn next_step(&self, stations: &[Station; 6]) -> NextStep {
        let state = |name: StationName| {
            stations.iter().find(|station| station.name == name).map(|station| station.state)
        };
        let step = |at, label: &str| NextStep { at, label: label.to_owned() };
        let measure = state(StationName::Measure);
        if measure == Some(StationState::NotStarted) {
            return step(StationName::Measure, "Take the knuckle height");
        }
        if measure == Some(StationState::LookAgain) {
            return step(StationName::Measure, "Measure again");
        }
        if let Some(job) = self.job().map(|kept| &kept.record).filter(|job| !job.state.is_over()) {
            let label = match job.state {
                JobState::OnTheBench | JobState::Curing | JobState::Rework => "Go on at the bench",
                JobState::Ready => "Hand over",
                JobState::OnTrial => return step(StationName::Trial, "Go on with the trial"),
                JobState::HandedOver | JobState::FollowUpDue => return self.next_follow_up(),
                _ => "Go on with the job",
            };
            return step(StationName::Job, label);
        }
        match (state(StationName::Clubs), state(StationName::Target)) {
            (Some(StationState::NotStarted), _) => step(StationName::Clubs, "Write down the clubs"),
            (Some(StationState::InHand), _) => step(StationName::Clubs, "Finish the clubs"),
            (_, Some(StationState::Done)) if state(StationName::Trial) == Some(StationState::InHand) => {
                step(StationName::Trial, "Go on with the trial")
            }
            (_, Some(StationState::Done)) if self.job().is_none() => step(StationName::Job, "Make the job"),
            (_, Some(StationState::Done)) => self.next_follow_up(),
            _ => step(StationName::Target, "Look at the target"),
        }
    }

    fn next_follow_up(&self) -> NextStep {
        let label = match self.follow_up() {
            Some(kept) if kept.record.done.is_none() => "Write down the follow-up",
            _ => "Set a day to see again",
        };
        NextStep { at: StationName::FollowUp, label: label.to_owned() }
    }
}

/// Says the six-iron to build with its interval, as it stands on sheets and is kept: `37 3/4 in ± 7/16 in`.
#[must_use]
pub fn target_words(plan: &bench::SetPlan) -> String {
    let built = plan.target.six_iron.value.rounded_to(plan.house.round_to);
    format!(
        "{} ± {}",
        built.to_step(InchStep::Sixteenth),
        plan.target.six_iron.half_width.to_step(InchStep::Sixteenth)
    )
}
