//! What is made from a plan: a target that is kept, a job, and what is known of the clubs when it is checked.

use crate::{
    CardText, Changes, Dossier, HouseSettings, Id, JobFile, JobState, KeptTarget, NoPlan, Reading, Work,
    target_words,
};
use bench::SetPlan;
use jiff::civil::Date;

impl Dossier {
    /// Makes a target to keep from the plan as it is now.
    ///
    /// # Errors
    /// [`NoPlan`], with what stands in the way.
    pub fn new_target(
        &self,
        id: Id,
        by: &str,
        house: &HouseSettings,
        today: Date,
        now_ms: i64,
    ) -> Result<KeptTarget, NoPlan> {
        let (plan, card) = self.plan_and_card(house, today)?;
        Ok(KeptTarget {
            id,
            golfer: self.golfer.record.id.clone(),
            six_iron_in: plan.target.six_iron.value.as_inches(),
            half_width_in: plan.target.six_iron.half_width.as_inches(),
            words: target_words(&plan),
            card: card.as_str().to_owned(),
            by: by.to_owned(),
            at_ms: now_ms,
            removed: false,
        })
    }

    /// Makes a job from the plan as it is now; one that has to wait is on hold from the start.
    ///
    /// # Errors
    /// [`NoPlan`], with what stands in the way.
    pub fn new_job(
        &self,
        id: Id,
        house: &HouseSettings,
        today: Date,
        now_ms: i64,
    ) -> Result<JobFile, NoPlan> {
        let (plan, card) = self.plan_and_card(house, today)?;
        Ok(JobFile {
            id,
            golfer: self.golfer.record.id.clone(),
            number: 0,
            state: if plan.job.waits_for.is_some() { JobState::OnHold } else { JobState::Measured },
            since_ms: now_ms,
            cured_ms: None,
            note: plan.job.waits_for.map(str::to_owned),
            card: card.as_str().to_owned(),
            work: Work::of(&plan, |name| self.club_named(name)),
            made_ms: now_ms,
            quote: None,
            uses: Vec::new(),
            promised: None,
            removed: false,
        })
    }

    fn plan_and_card(&self, house: &HouseSettings, today: Date) -> Result<(SetPlan, CardText), NoPlan> {
        let plan = self.plan(house, today)?;
        let card = self.card(house).ok_or(NoPlan::NotMeasured)?;
        Ok((plan, card))
    }

    /// Adds to a change what was read of a job's finished clubs: from then on that is what is known of them, and how
    /// they came stays in their history. `id_of` makes the id of the reading of this place.
    #[must_use]
    pub fn with_finished_readings(
        &self,
        mut changes: Changes,
        job: &JobFile,
        day: Date,
        now_ms: i64,
        id_of: impl Fn(&Id, usize) -> Id,
    ) -> Changes {
        for club in job.work.clubs() {
            let Some(club_id) = &club.club else { continue };
            for check in &club.checks {
                let Some(tick) = self.tick(&job.id, &club.check_key(check)) else { continue };
                let Some(typed) = tick.typed.clone().filter(|_| tick.done) else { continue };
                let id = id_of(&changes.id, changes.puts.len());
                changes = changes.with_new(Reading {
                    id,
                    golfer: job.golfer.clone(),
                    club: Some(club_id.clone()),
                    job: Some(job.id.clone()),
                    field: check.field,
                    typed,
                    value_si: tick.value_si,
                    shoes: None,
                    instrument: None,
                    by: tick.by.clone(),
                    day,
                    at_ms: now_ms,
                    removed: false,
                });
            }
        }
        changes
    }
}
