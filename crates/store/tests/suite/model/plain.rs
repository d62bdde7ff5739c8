//! The studio as a plain map: what a store must hold and answer, worked out in memory and by hand.

use std::collections::{BTreeMap, BTreeSet};
use store::Refusal;
use studio::{Changes, HouseSettings, Id, Kept, Put, Record};

/// What a studio holds.
#[derive(Debug, Clone, Default)]
pub(crate) struct Plain {
    /// Every record as it is now, by its id.
    pub(crate) records: BTreeMap<Id, Kept<Record>>,
    /// Every act, in order.
    pub(crate) acts: Vec<PlainAct>,
}

/// An act that was saved.
#[derive(Debug, Clone)]
pub(crate) struct PlainAct {
    pub(crate) id: Id,
    pub(crate) seq: i64,
    pub(crate) by: String,
    pub(crate) sentence: String,
    pub(crate) at_ms: i64,
    pub(crate) golfer: Option<Id>,
    pub(crate) undoes: Option<Id>,
    pub(crate) undone_by: Option<Id>,
    /// What was sent; nothing once it was erased, or when an older version saved it.
    pub(crate) sent: Option<Changes>,
    pub(crate) changes: Vec<PlainChange>,
}

/// What an act did to one record.
#[derive(Debug, Clone)]
pub(crate) struct PlainChange {
    pub(crate) record: Id,
    pub(crate) revision: i64,
    pub(crate) before: Option<Record>,
    pub(crate) after: Record,
}

/// What was acknowledged: the place in the sequence, and whether it was known before.
pub(crate) type Acknowledged = (i64, bool);

/// What a forgetting that is carried out at opening is signed with.
pub(crate) const AT_OPENING: &str = "forget";

impl Plain {
    /// The ids of the golfers, oldest first.
    pub(crate) fn golfers(&self) -> Vec<Id> {
        self.ids(|record| matches!(record, Record::Golfer(_)))
    }

    /// The ids of the records that are meant, oldest first.
    pub(crate) fn ids(&self, is_meant: impl Fn(&Record) -> bool) -> Vec<Id> {
        let kept = self.records.iter().filter(|(_, kept)| is_meant(&kept.record));
        kept.map(|(id, _)| id.clone()).collect()
    }

    /// Saves an act, all of it or nothing.
    pub(crate) fn save(&mut self, changes: &Changes, now_ms: i64) -> Result<Acknowledged, Refusal> {
        self.run(changes, None, now_ms)
    }

    /// Undoes an act: every record goes back to what it was before it.
    pub(crate) fn undo(
        &mut self,
        act: &Id,
        as_id: Id,
        by: &str,
        now_ms: i64,
    ) -> Result<Acknowledged, Refusal> {
        let undone = self.acts.iter().find(|known| known.id == *act).ok_or(Refusal::NotUndoable)?;
        if let Some(undone_by) = &undone.undone_by {
            let known = self.acts.iter().find(|known| known.id == *undone_by && *undone_by == as_id);
            return known.map(|known| (known.seq, true)).ok_or(Refusal::NotUndoable);
        }
        let mut undoing = Changes::new(as_id, by, format!("Undone: {}", undone.sentence));
        for change in undone.changes.iter().rev() {
            if self.records.get(&change.record).is_none_or(|kept| kept.revision != change.revision) {
                return Err(Refusal::NotUndoable);
            }
            let record = match (&change.before, &change.after) {
                (Some(before), _) => before.clone(),
                // a house without settings of its own has the usual ones
                (None, Record::House(_)) => HouseSettings::usual().into(),
                (None, after) => after.clone().with_removed(true),
            };
            undoing.puts.push(Put { record, seen: Some(change.revision) });
        }
        self.run(&undoing, Some(act), now_ms)
    }

    fn run(&mut self, changes: &Changes, undoes: Option<&Id>, now_ms: i64) -> Result<Acknowledged, Refusal> {
        if let Some(known) = self.acts.iter().find(|known| known.id == changes.id) {
            let is_same = known.sent.as_ref().is_some_and(|sent| says_the_same(sent, changes));
            return if is_same { Ok((known.seq, true)) } else { Err(Refusal::SameIdOtherBody) };
        }
        let mut after = self.clone();
        let act = after.put_all(changes, undoes, now_ms)?;
        let seq = act.seq;
        after.acts.push(act);
        if let Some(undone) = after.acts.iter_mut().find(|known| Some(&known.id) == undoes) {
            undone.undone_by = Some(changes.id.clone());
        }
        *self = after;
        Ok((seq, false))
    }

    fn put_all(&mut self, changes: &Changes, undoes: Option<&Id>, now_ms: i64) -> Result<PlainAct, Refusal> {
        if changes.golfer().is_some_and(|golfer| self.is_forgotten(golfer)) {
            return Err(Refusal::NotThere);
        }
        let mut act = PlainAct {
            id: changes.id.clone(),
            seq: self.next_seq(),
            by: changes.by.clone(),
            sentence: changes.sentence.clone(),
            at_ms: now_ms,
            golfer: changes.golfer().cloned(),
            undoes: undoes.cloned(),
            undone_by: None,
            sent: Some(changes.clone()),
            changes: Vec::new(),
        };
        for put in &changes.puts {
            act.changes.push(self.put(put)?);
        }
        self.refuse_a_shelf_below_nothing(changes)?;
        Ok(act)
    }

    fn put(&mut self, put: &Put) -> Result<PlainChange, Refusal> {
        let id = put.record.id().clone();
        let before = self.records.get(&id);
        let revision = match (before, put.seen) {
            (None, None) => 1,
            (Some(there), Some(seen)) if there.revision == seen => seen + 1,
            (Some(there), _) => {
                let theirs = Some(Box::new(there.record.clone()));
                return Err(Refusal::ChangedElsewhere { theirs, revision: there.revision });
            }
            (None, Some(_)) => return Err(Refusal::NotThere),
        };
        let before = before.map(|kept| kept.record.clone());
        let mut record = put.record.clone();
        if let (None, Record::Job(job)) = (&before, &mut record) {
            let numbers: BTreeSet<i64> = self.numbers().collect();
            if job.number == 0 || numbers.contains(&job.number) {
                job.number = numbers.last().map_or(1, |last| last + 1);
            }
        }
        if !self.has_all_it_hangs_on(&record) {
            return Err(Refusal::NotThere);
        }
        self.records.insert(id.clone(), Kept { record: record.clone(), revision });
        Ok(PlainChange { record: id, revision, before, after: record })
    }

    fn numbers(&self) -> impl Iterator<Item = i64> {
        self.records.values().filter_map(|kept| match &kept.record {
            Record::Job(job) => Some(job.number),
            _ => None,
        })
    }

    fn has_all_it_hangs_on(&self, record: &Record) -> bool {
        let is_of = |id: &Id, golfer: &Id| {
            self.records.get(id).is_some_and(|kept| kept.record.golfer() == Some(golfer))
        };
        let golfer_is_there = match record {
            Record::Golfer(_) => true,
            other => other.golfer().is_none_or(|golfer| is_of(golfer, golfer)),
        };
        golfer_is_there
            && match record {
                Record::Reading(reading) => {
                    let hangs_on = [&reading.club, &reading.job];
                    hangs_on.into_iter().flatten().all(|id| is_of(id, &reading.golfer))
                }
                Record::Photo(photo) => photo.club.iter().all(|id| is_of(id, &photo.golfer)),
                Record::Strike(strike) => self.records.contains_key(&strike.trial),
                Record::Stock(moved) => self.records.contains_key(&moved.part),
                _ => true,
            }
    }

    fn refuse_a_shelf_below_nothing(&self, changes: &Changes) -> Result<(), Refusal> {
        let parts: BTreeSet<&Id> = changes
            .puts
            .iter()
            .filter_map(|put| match &put.record {
                Record::Stock(moved) => Some(&moved.part),
                _ => None,
            })
            .collect();
        for part in parts {
            let least = self.stock(part).values().copied().min().unwrap_or(0);
            if least < 0 {
                let name = match &self.records[part].record {
                    Record::Part(part) => part.name.clone(),
                    other => unreachable!("a part's id names a {}", other.kind().word()),
                };
                return Err(Refusal::NotOnTheShelf { name, missing: -least });
            }
        }
        Ok(())
    }

    /// How many of a part there are, weighed pieces each for themselves.
    pub(crate) fn stock(&self, part: &Id) -> BTreeMap<Option<i64>, i64> {
        let mut counts = BTreeMap::new();
        for kept in self.records.values() {
            if let Record::Stock(moved) = &kept.record
                && moved.part == *part
                && !moved.removed
            {
                *counts.entry(moved.piece_mg).or_default() += moved.count;
            }
        }
        counts
    }

    /// Whether a golfer was forgotten and only what was paid is left.
    fn is_forgotten(&self, golfer: &Id) -> bool {
        let kept = self.records.get(golfer);
        kept.is_some_and(|kept| matches!(&kept.record, Record::Golfer(file) if file.is_erased()))
    }

    fn next_seq(&self) -> i64 {
        self.acts.iter().map(|act| act.seq).max().unwrap_or(0) + 1
    }

    /// Forgets a golfer: what was agreed keeps amounts, days and number, everything else is gone, and every act that
    /// touched it is empty.
    pub(crate) fn forget(&mut self, golfer: &Id, act: Id, by: &str, now_ms: i64) -> Result<(), Refusal> {
        if !self.records.contains_key(golfer) {
            return Err(Refusal::NotThere);
        }
        let of_them: BTreeSet<Id> = self.ids(|record| record.golfer() == Some(golfer)).into_iter().collect();
        for known in &mut self.acts {
            let touches = known.golfer.as_ref() == Some(golfer)
                || known.changes.iter().any(|change| of_them.contains(&change.record));
            if touches {
                known.golfer = None;
                known.by.clear();
                "Erased".clone_into(&mut known.sentence);
                known.sent = None;
                known.undone_by = Some(act.clone());
                known.changes.clear();
            }
        }
        let mut left: Vec<Kept<Record>> = Vec::new();
        for id in of_them {
            let Some(kept) = self.records.remove(&id) else { continue };
            if let Record::Job(job) = &kept.record
                && job.was_agreed()
            {
                left.push(Kept { record: job.erased().into(), revision: kept.revision + 1 });
            }
            if let Record::Golfer(file) = kept.record {
                left.push(Kept { record: file.erased().into(), revision: kept.revision + 1 });
            }
        }
        let is_anything_agreed = left.len() > 1;
        if is_anything_agreed {
            self.records.extend(left.into_iter().map(|kept| (kept.record.id().clone(), kept)));
        }
        self.acts.push(PlainAct {
            id: act.clone(),
            seq: self.next_seq(),
            by: by.to_owned(),
            sentence: "A golfer was forgotten".to_owned(),
            at_ms: now_ms,
            golfer: None,
            undoes: None,
            undone_by: Some(act),
            sent: None,
            changes: Vec::new(),
        });
        Ok(())
    }

    /// Opens it: whoever was to be forgotten and is there again is forgotten again.
    pub(crate) fn open(&mut self, forgotten: &[Id]) {
        for golfer in forgotten {
            if self.records.contains_key(golfer) && !self.is_forgotten(golfer) {
                let newest_ms = self.acts.iter().map(|act| act.at_ms).max().unwrap_or(0);
                // the store makes an id of the golfer's own; nothing is said of it here
                let done = self.forget(golfer, golfer.clone(), AT_OPENING, newest_ms);
                assert_eq!(done, Ok(()), "they were there");
            }
        }
    }

    /// What a record was, oldest first, with the acts that made it so.
    pub(crate) fn history(&self, record: &Id) -> Vec<(Id, Record)> {
        self.acts
            .iter()
            .flat_map(|act| act.changes.iter().map(move |change| (act, change)))
            .filter(|(_, change)| change.record == *record)
            .map(|(act, change)| (act.id.clone(), change.after.clone()))
            .collect()
    }
}

/// When something was done is not part of what was said, nor is the revision it was done on.
fn says_the_same(one: &Changes, other: &Changes) -> bool {
    let records =
        |changes: &Changes| -> Vec<Record> { changes.puts.iter().map(|put| put.record.clone()).collect() };
    one.by == other.by && one.sentence == other.sentence && records(one) == records(other)
}
