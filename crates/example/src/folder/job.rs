//! What is done at the bench: a job from the golfer's own plan, its way from state to state, its ticks and readings.

use super::Folder;
use crate::clock::Moment;
use crate::shop::FITTER;
use crate::table::Table;
use studio::{JobFile, JobState, Reading, Record, Tick, Units, Work};

impl Folder<'_> {
    /// Makes the job from what was read until that day; the store would have given it this number.
    pub(crate) fn make_job(&mut self, at: Moment, number: i64) {
        let house = &self.shop.house;
        let plan = self.dossier.plan(house, at.day).expect("the stories' jobs follow from good readings");
        let card = self.dossier.card(house).expect("a plan has a card");
        let job = JobFile {
            work: Work::of(&plan, |name| self.dossier.club_named(name)),
            id: self.ids.next(),
            golfer: self.golfer(),
            number,
            state: JobState::Measured,
            since_ms: at.at_ms,
            cured_ms: None,
            note: None,
            card: card.as_str().to_owned(),
            made_ms: at.at_ms,
            quote: None,
            uses: Vec::new(),
            promised: None,
            removed: false,
        };
        self.act(at, "Job made", vec![Record::Job(job)]);
    }

    /// Moves the job on, with why it waits or what to remember. When it is checked, what was read of the finished clubs
    /// becomes what is known of them.
    pub(crate) fn move_job(&mut self, at: Moment, state: JobState, note: Option<&str>) {
        let job = self.job();
        let moved = job.moved_to(state, at.at_ms).expect("the stories take a job the way it goes");
        let moved = JobFile { note: note.map(str::to_owned), ..moved };
        let why = note.map(|note| format!(": {note}")).unwrap_or_default();
        let finished = if state == JobState::Checked { self.finished(at, &moved) } else { Vec::new() };
        let records = std::iter::once(Record::Job(moved)).chain(finished).collect();
        self.act(at, format!("Job {} {}{why}", job.number, state.words()), records);
    }

    /// Makes readings of the clubs from the finished readings ticked.
    fn finished(&mut self, at: Moment, job: &JobFile) -> Vec<Record> {
        let mut records = Vec::new();
        for club in job.work.clubs() {
            for check in &club.checks {
                let tick = self.dossier.tick(&job.id, &club.check_key(check));
                let Some(typed) = tick.and_then(|tick| tick.typed.clone()) else { continue };
                let reading = self.reading(at, club.club.as_ref(), check.field, &typed);
                records.push(Record::Reading(Reading { job: Some(job.id.clone()), ..reading }));
            }
        }
        records
    }

    /// Ticks the steps that come next, through the one that begins with `last`; each reading names the beginning of
    /// the step that takes it.
    pub(crate) fn tick_through(&mut self, at: Moment, last: &str, readings: &[(&str, &str)]) {
        let job = self.job();
        let mut records = Vec::new();
        for (_, step) in job.work.steps() {
            let is_last = step.what.starts_with(last);
            if self.dossier.tick(&job.id, &step.key).is_none() {
                let typed = step.takes_reading.then(|| {
                    let reading = readings.iter().find(|(begins, _)| step.what.starts_with(begins));
                    reading.unwrap_or_else(|| panic!("a reading for the step: {}", step.what)).1.to_owned()
                });
                records.push(Record::Tick(self.tick(at, &job, &step.key, typed, None)));
            }
            if is_last {
                break;
            }
        }
        let count = records.len();
        self.act(at, format!("Job {}: {count} steps done", job.number), records);
    }

    /// Reads a finished club.
    pub(crate) fn check(&mut self, at: Moment, club: &str, finished: &Table) {
        let job = self.job();
        let worked = job.work.clubs().find(|worked| worked.name == club).expect("a club of the job");
        let (_, readings) = finished.row(club).expect("the table has every club of the job");
        let mut records = Vec::new();
        let mut said = Vec::new();
        for (field, typed) in readings {
            let check = worked.checks.iter().find(|check| check.field == field);
            let key = worked.check_key(check.expect("what is read of it is due"));
            let read = field.read(typed, Units::Inches).expect("the stories' readings can be read");
            said.push(format!("{} {}", field.label().to_lowercase(), read.text));
            records.push(Record::Tick(self.tick(at, &job, &key, Some(read.text), read.value_si)));
        }
        self.act(at, format!("Job {}: {club} {}", job.number, said.join(", ")), records);
    }

    /// Reads every finished club of the job, some minutes each.
    pub(crate) fn check_all(&mut self, at: Moment, finished: &Table) {
        let names: Vec<String> = self.job().work.clubs().map(|club| club.name.clone()).collect();
        let mut at = at;
        for name in names {
            self.check(at, &name, finished);
            at = at.later(4);
        }
    }

    fn job(&self) -> JobFile {
        self.dossier.job().expect("the story made a job before").record.clone()
    }

    fn tick(
        &mut self,
        at: Moment,
        job: &JobFile,
        step: &str,
        typed: Option<String>,
        value_si: Option<f64>,
    ) -> Tick {
        Tick {
            id: self.ids.next(),
            golfer: self.golfer(),
            job: job.id.clone(),
            step: step.to_owned(),
            done: true,
            typed,
            value_si,
            by: FITTER.to_owned(),
            at_ms: at.at_ms,
            removed: false,
        }
    }
}
