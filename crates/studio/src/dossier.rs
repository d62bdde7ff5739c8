//! Everything the studio keeps of one golfer, and what it says now.

use crate::{
    CardText, Field, FollowUp, GolferFile, HouseSettings, Id, JobFile, KeptTarget, OwnedClub, Photo, Reading,
    Remark, StrikeMark, Tick, TrialFile, Visit,
};
use bench::SetPlan;
use card::CardProblem;
use fitting::FittingError;
use jiff::civil::Date;
use quantity::Length;

/// A record as it is kept, with the revision a change of it must have seen.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
pub struct Kept<T> {
    /// The record.
    pub record: T,
    /// Its revision.
    pub revision: i64,
}

/// A golfer's records, each list in the order in which it was written.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
pub struct Dossier {
    /// The golfer's file.
    pub golfer: Kept<GolferFile>,
    /// Visits that were written down.
    pub visits: Vec<Kept<Visit>>,
    /// Every reading, body and clubs.
    pub readings: Vec<Kept<Reading>>,
    /// The clubs.
    pub clubs: Vec<Kept<OwnedClub>>,
    /// Targets that were kept.
    pub targets: Vec<Kept<KeptTarget>>,
    /// Strike trials.
    pub trials: Vec<Kept<TrialFile>>,
    /// Balls of the trials.
    pub strikes: Vec<Kept<StrikeMark>>,
    /// Jobs.
    pub jobs: Vec<Kept<JobFile>>,
    /// Ticks of the jobs.
    pub ticks: Vec<Kept<Tick>>,
    /// Follow-ups.
    pub follow_ups: Vec<Kept<FollowUp>>,
    /// Remarks.
    pub remarks: Vec<Kept<Remark>>,
    /// Photos.
    pub photos: Vec<Kept<Photo>>,
}

/// What stands in the way of a plan.
#[derive(Debug, Clone, PartialEq)]
pub enum NoPlan {
    /// No knuckle height was read yet.
    NotMeasured,
    /// Something read cannot be meant; with the card it stands on.
    Refused(CardText, Vec<CardProblem>),
}

impl Dossier {
    /// Returns the readings of one body field that count: those of the last day on which it was read.
    #[must_use]
    pub fn body(&self, field: Field) -> Vec<&Reading> {
        let of_field =
            || self.live_readings().filter(move |reading| reading.club.is_none() && reading.field == field);
        let last = of_field().map(|reading| reading.day).max();
        of_field().filter(|reading| Some(reading.day) == last).collect()
    }

    /// Returns the reading of a club's field that counts: the last one. What the bench's work changes counts only from
    /// the last job on: an old balance beside a new mass is of no club there is.
    #[must_use]
    pub fn club_reading(&self, club: &Id, field: Field) -> Option<&Reading> {
        let of_club: Vec<&Reading> =
            self.live_readings().filter(|reading| reading.club.as_ref() == Some(club)).collect();
        let last_job = of_club.iter().rev().find_map(|reading| reading.job.as_ref());
        let since = match last_job {
            Some(job) if field.is_changed_by_work() => {
                of_club.iter().position(|reading| reading.job.as_ref() == Some(job)).unwrap_or_default()
            }
            _ => 0,
        };
        of_club[since..].iter().copied().rfind(|reading| reading.field == field)
    }

    /// Returns how a club came: the last reading of a field that no job made.
    #[must_use]
    pub fn as_it_came(&self, club: &Id, field: Field) -> Option<&Reading> {
        self.live_readings()
            .filter(|reading| {
                reading.club.as_ref() == Some(club) && reading.field == field && reading.job.is_none()
            })
            .last()
    }

    fn live_readings(&self) -> impl Iterator<Item = &Reading> {
        self.readings.iter().map(|kept| &kept.record).filter(|reading| !reading.removed)
    }

    /// Returns the visit of a day, where one was written down.
    #[must_use]
    pub fn visit_on(&self, day: Date) -> Option<&Kept<Visit>> {
        self.visits.iter().rfind(|kept| !kept.record.removed && kept.record.day == day)
    }

    /// Returns every day on which the golfer came or something was read, the last one first, with what was written of the
    /// visit and how many readings that count or counted were taken.
    #[must_use]
    pub fn days(&self) -> Vec<(Date, Option<&Visit>, usize)> {
        let visits = self.visits.iter().map(|kept| &kept.record).filter(|visit| !visit.removed);
        let read = self.live_readings().map(|reading| reading.day);
        let mut days: Vec<Date> = visits.map(|visit| visit.day).chain(read).collect();
        days.sort_unstable_by(|one, other| other.cmp(one));
        days.dedup();
        days.into_iter()
            .map(|day| {
                let readings = self.live_readings().filter(|reading| reading.day == day).count();
                (day, self.visit_on(day).map(|kept| &kept.record), readings)
            })
            .collect()
    }

    /// Returns the clubs that are not put away.
    pub fn live_clubs(&self) -> impl Iterator<Item = &Kept<OwnedClub>> {
        self.clubs.iter().filter(|kept| !kept.record.removed)
    }

    /// Returns the clubs whose length was read.
    pub fn clubs_with_length(&self) -> impl Iterator<Item = &OwnedClub> {
        self.live_clubs()
            .map(|kept| &kept.record)
            .filter(|club| self.club_reading(&club.id, Field::ClubLength).is_some())
    }

    /// Returns the last target that was kept.
    #[must_use]
    pub fn target(&self) -> Option<&Kept<KeptTarget>> {
        self.targets.iter().rfind(|kept| !kept.record.removed)
    }

    /// Returns the job in hand: the last one that was not taken back.
    #[must_use]
    pub fn job(&self) -> Option<&Kept<JobFile>> {
        self.jobs.iter().rfind(|kept| !kept.record.removed)
    }

    /// Finds a job.
    #[must_use]
    pub fn job_of(&self, id: &Id) -> Option<&Kept<JobFile>> {
        self.jobs.iter().find(|kept| kept.record.id == *id && !kept.record.removed)
    }

    /// Returns the tick of a step that counts: the last one.
    #[must_use]
    pub fn tick(&self, job: &Id, step: &str) -> Option<&Tick> {
        self.ticks
            .iter()
            .map(|kept| &kept.record)
            .rfind(|tick| !tick.removed && tick.job == *job && tick.step == step)
    }

    /// Counts what is done of a job.
    #[must_use]
    pub fn ticks_done(&self, job: &JobFile) -> usize {
        let steps = job.work.steps().map(|(_, step)| step.key.clone());
        let checks = job.work.clubs().flat_map(|club| club.checks.iter().map(|check| club.check_key(check)));
        steps.chain(checks).filter(|key| self.tick(&job.id, key).is_some_and(|tick| tick.done)).count()
    }

    /// Returns the follow-up that is next, or was last.
    #[must_use]
    pub fn follow_up(&self) -> Option<&Kept<FollowUp>> {
        let live = || self.follow_ups.iter().filter(|kept| !kept.record.removed);
        live()
            .filter(|kept| kept.record.done.is_none())
            .min_by_key(|kept| kept.record.due)
            .or_else(|| live().next_back())
    }

    /// Writes the golfer's fitting card; `None` until a knuckle height was read.
    #[must_use]
    pub fn card(&self, house: &HouseSettings) -> Option<CardText> {
        CardText::of(self, house)
    }

    /// Plans the set from what was read.
    ///
    /// # Errors
    /// [`NoPlan`], with everything that stands in the way.
    pub fn plan(&self, house: &HouseSettings, today: Date) -> Result<SetPlan, NoPlan> {
        let card = self.card(house).ok_or(NoPlan::NotMeasured)?;
        let planned = card.read(today).and_then(|card| card.plan());
        planned.map_err(|problems| NoPlan::Refused(card, problems))
    }

    /// Finds the body readings that no body has, whatever the rule says of them: the field and what is wrong.
    #[must_use]
    pub fn beyond_any_body(&self, house: &HouseSettings, today: Date) -> Vec<(Field, FittingError)> {
        let Some(Ok(card)) = self.card(house).map(|card| card.read(today)) else { return Vec::new() };
        let found = card.golfer.readings.check().err().unwrap_or_default();
        found.into_iter().filter_map(|(key, error)| Some((Field::from_key(key)?, error))).collect()
    }

    /// Plans the set as if the knuckle hung higher and every club were longer.
    ///
    /// # Errors
    /// [`NoPlan`], as for the plan itself.
    pub fn plan_if(
        &self,
        house: &HouseSettings,
        today: Date,
        knuckle_higher: Length,
        clubs_longer: Length,
    ) -> Result<SetPlan, NoPlan> {
        let text = self.card(house).ok_or(NoPlan::NotMeasured)?;
        let planned = text.read(today).and_then(|mut card| {
            for height in &mut card.golfer.readings.knuckle_height {
                *height += knuckle_higher;
            }
            for club in &mut card.clubs {
                club.entry.length = club.entry.length.map(|length| length + clubs_longer);
            }
            card.plan()
        });
        planned.map_err(|problems| NoPlan::Refused(text, problems))
    }

    /// Finds a club's id by its name.
    #[must_use]
    pub fn club_named(&self, name: &str) -> Option<Id> {
        self.live_clubs().find(|kept| kept.record.name == name).map(|kept| kept.record.id.clone())
    }
}
