//! A golfer's folder as it fills: each thing the fitter did becomes an act, and is filed as the store files it.
//!
//! Because the folder holds the same dossier as the store, a target or a job is made from the card and the plan the
//! tool itself would have shown on that day.

mod job;
mod trial;
mod visit;

use crate::Act;
use crate::clock::Moment;
use crate::ids::Ids;
use crate::shop::{FITTER, Shop};
use fitting::Handedness;
use studio::{Changes, Dossier, GolferFile, Id, Kept, Record};
pub(crate) use trial::Striker;

/// One golfer's folder.
#[derive(Debug)]
pub(crate) struct Folder<'s> {
    shop: &'s Shop,
    ids: Ids,
    dossier: Dossier,
    acts: Vec<Act>,
}

impl<'s> Folder<'s> {
    /// Opens the folder of the golfer with this number; `and` fills in what more was said.
    pub(crate) fn open(
        shop: &'s Shop,
        number: u32,
        at: Moment,
        (name, plays): (&str, Handedness),
        and: impl FnOnce(&mut GolferFile),
    ) -> Self {
        let mut ids = Ids::of(number);
        let mut golfer = GolferFile::new(ids.next(), name, plays).expect("the stories' people have names");
        and(&mut golfer);
        let mut folder = Self {
            shop,
            ids,
            dossier: Dossier {
                golfer: Kept { record: golfer.clone(), revision: 0 },
                visits: Vec::new(),
                trials: Vec::new(),
                strikes: Vec::new(),
                readings: Vec::new(),
                clubs: Vec::new(),
                targets: Vec::new(),
                jobs: Vec::new(),
                ticks: Vec::new(),
                follow_ups: Vec::new(),
                remarks: Vec::new(),
                photos: Vec::new(),
            },
            acts: Vec::new(),
        };
        folder.act(at, "File opened", vec![Record::Golfer(golfer)]);
        folder
    }

    /// Returns everything that was done.
    pub(crate) fn into_acts(self) -> Vec<Act> {
        self.acts
    }

    fn golfer(&self) -> Id {
        self.dossier.golfer.record.id.clone()
    }

    /// Makes an act of records, new ones and changed ones alike.
    fn act(&mut self, at: Moment, sentence: impl Into<String>, records: Vec<Record>) {
        let mut changes = Changes::new(self.ids.next(), FITTER, sentence);
        for record in records {
            changes = match self.file(record.clone()) {
                0 => changes.with_new(record),
                seen => changes.with_changed(record, seen),
            };
        }
        self.acts.push(Act { changes, at_ms: at.at_ms });
    }

    /// Files a record and returns the revision it had; 0 when it is new.
    fn file(&mut self, record: Record) -> i64 {
        let dossier = &mut self.dossier;
        match record {
            Record::Golfer(record) => {
                let seen = dossier.golfer.revision;
                dossier.golfer = Kept { record, revision: seen + 1 };
                seen
            }
            Record::Visit(record) => filed(&mut dossier.visits, record, |record| &record.id),
            Record::Club(record) => filed(&mut dossier.clubs, record, |record| &record.id),
            Record::Trial(record) => filed(&mut dossier.trials, record, |record| &record.id),
            Record::Strike(record) => filed(&mut dossier.strikes, record, |record| &record.id),
            Record::Job(record) => filed(&mut dossier.jobs, record, |record| &record.id),
            Record::Reading(record) => filed(&mut dossier.readings, record, |record| &record.id),
            Record::Target(record) => filed(&mut dossier.targets, record, |record| &record.id),
            Record::Tick(record) => filed(&mut dossier.ticks, record, |record| &record.id),
            Record::FollowUp(record) => filed(&mut dossier.follow_ups, record, |record| &record.id),
            Record::Remark(record) => filed(&mut dossier.remarks, record, |record| &record.id),
            Record::Photo(record) => filed(&mut dossier.photos, record, |record| &record.id),
            Record::House(_) | Record::Part(_) | Record::Stock(_) => {
                unreachable!("no golfer's story changes the house")
            }
        }
    }
}

/// Files a record at the end of its list, or in the place of the one it changes, as the store lists them.
fn filed<T>(list: &mut Vec<Kept<T>>, record: T, id: impl Fn(&T) -> &Id) -> i64 {
    match list.iter_mut().find(|kept| id(&kept.record) == id(&record)) {
        Some(kept) => {
            let seen = kept.revision;
            *kept = Kept { record, revision: seen + 1 };
            seen
        }
        None => {
            list.push(Kept { record, revision: 1 });
            0
        }
    }
}
