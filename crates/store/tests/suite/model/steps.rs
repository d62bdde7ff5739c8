//! The steps of a model run: what a studio, its fitter and bad luck do, drawn by chance.

use super::old::oldest;
use super::plain::{Acknowledged, Plain};
use crate::place::{NOW, club, golfer, id, reading};
use bench::PartKind;
use jiff::civil::date;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::strategy::Union;
use proptest_state_machine::ReferenceStateMachine;
use std::marker::PhantomData;
use store::Refusal;
use studio::{
    Accepted, Changes, ClubsMadeBy, Field, HouseSettings, Id, JobFile, JobState, Money, Photo, Quote,
    QuoteLine, Record, RecordKind, Share, StockMove, StockWhy, StockedPart, StrikeMark, TrialFile,
    TrialReason, Work,
};

/// One step; an index picks among what is there when it comes to it.
#[derive(Debug, Clone)]
pub(crate) enum Step {
    Open { name: &'static str },
    Club { golfer: Index },
    Read { golfer: Index, on_a_club: bool, club: Index, typed: &'static str },
    PlanTrial { golfer: Index },
    Strikes { trial: Index, count: u32, x_mm: f64 },
    Part { name: &'static str, came: i64 },
    Move { part: Index, count: i64, piece_mg: Option<i64> },
    Job { golfer: Index, agreed: bool },
    Photo { golfer: Index },
    House { typed: &'static str },
    Edit { record: Index, word: &'static str },
    Stale { record: Index, off: i64 },
    PutAway { record: Index },
    HalfAct { golfer: Index },
    Undo { act: Index },
    UndoAgain { act: Index },
    SendAgain { act: Index },
    SendOther { act: Index },
    Forget { golfer: Index },
    Reopen,
    Drop,
    Backup,
    Restore { copy: Index },
    BringOld,
}

/// What the store is asked for, and what it has to answer.
#[derive(Debug, Clone)]
pub(crate) enum Asked {
    Nothing,
    Save {
        changes: Changes,
        answer: Result<Acknowledged, Refusal>,
    },
    Undo {
        act: Id,
        as_id: Id,
        answer: Result<Acknowledged, Refusal>,
    },
    Forget {
        golfer: Id,
        act: Id,
        answer: Result<(), Refusal>,
    },
    Reopen,
    Drop,
    Backup,
    Restore {
        copy: usize,
    },
    /// A studio of the oldest schema, whose golfer has this id here.
    BringOld {
        golfer: Id,
    },
}

/// The studio as it must be, and the step that made it so.
#[derive(Debug, Clone)]
pub(crate) struct Expected {
    pub(crate) plain: Plain,
    pub(crate) asked: Asked,
    pub(crate) now_ms: i64,
    /// Golfers that were forgotten, in order: no copy brings them back.
    pub(crate) forgotten: Vec<Id>,
    /// Photos whose picture is there.
    pub(crate) pictures: Vec<Id>,
    /// The golfer of the old studio the run begins with, if with one.
    pub(crate) begun_old: Option<Id>,
    copies: Vec<Plain>,
    /// Every act that was ever sent, also those a restore took back.
    sent: Vec<Changes>,
    undone: Vec<(Id, Id)>,
}

pub(crate) const BY: &str = "I. F.";

impl Expected {
    fn begun(is_old: bool) -> Self {
        let begun_old = is_old.then(id);
        Self {
            plain: begun_old.as_ref().map(oldest).unwrap_or_default(),
            asked: Asked::Nothing,
            now_ms: NOW,
            forgotten: Vec::new(),
            pictures: Vec::new(),
            begun_old,
            copies: Vec::new(),
            sent: Vec::new(),
            undone: Vec::new(),
        }
    }

    fn send(&mut self, changes: Changes) -> Asked {
        let mut after = self.plain.clone();
        let mut answer = after.save(&changes, self.now_ms);
        let comes_back = changes.puts.iter().any(|put| {
            put.seen.is_none()
                && put.record.kind() == RecordKind::Golfer
                && self.forgotten.contains(put.record.id())
        });
        if comes_back && answer.as_ref().is_ok_and(|(_, was_known)| !was_known) {
            answer = Err(Refusal::WasErased);
        } else {
            self.plain = after;
        }
        if answer.as_ref().is_ok_and(|(_, was_known)| !was_known) {
            let photos = changes.puts.iter().filter(|put| put.seen.is_none());
            self.pictures.extend(photos.filter_map(|put| match &put.record {
                Record::Photo(photo) => Some(photo.id.clone()),
                _ => None,
            }));
        }
        if !self.sent.contains(&changes) {
            self.sent.push(changes.clone());
        }
        Asked::Save { changes, answer }
    }

    fn undo(&mut self, act: Id, as_id: Id) -> Asked {
        let answer = self.plain.undo(&act, as_id.clone(), BY, self.now_ms);
        self.undone.push((act.clone(), as_id.clone()));
        Asked::Undo { act, as_id, answer }
    }

    /// Opens it and takes away the pictures of those who are forgotten.
    fn open(&mut self) {
        let before = self.plain.clone();
        self.plain.open(&self.forgotten);
        self.drop_pictures_of_the_forgotten(&before);
    }

    fn drop_pictures_of_the_forgotten(&mut self, before: &Plain) {
        let plain = &self.plain;
        self.pictures.retain(|id| plain.records.contains_key(id) || !before.records.contains_key(id));
    }

    fn take(&mut self, step: &Step) -> Asked {
        let act = |sentence: &str| Changes::new(id(), BY, sentence);
        match step {
            Step::Open { name } => self.send(act("Opened").with_new(golfer(name))),
            Step::House { typed } => {
                let there = self.plain.records.get(&HouseSettings::fixed_id());
                let (house, seen) = match there {
                    Some(kept) => (kept.record.clone(), Some(kept.revision)),
                    None => (HouseSettings::usual().into(), None),
                };
                let Record::House(house) = house else { unreachable!("its id is the house's") };
                let house = house.with("round_to", typed).unwrap();
                let changes = act("House");
                self.send(match seen {
                    Some(seen) => changes.with_changed(house, seen),
                    None => changes.with_new(house),
                })
            }
            Step::Part { name, came } => {
                let part = part(name);
                let moved = moved(&part.id, *came, None);
                self.send(act("Bought").with_new(part).with_new(moved))
            }
            Step::Reopen => {
                self.open();
                Asked::Reopen
            }
            Step::Drop => {
                self.open();
                Asked::Drop
            }
            Step::Backup => {
                self.copies.push(self.plain.clone());
                Asked::Backup
            }
            Step::BringOld => {
                let golfer = id();
                self.plain = oldest(&golfer);
                self.open();
                Asked::BringOld { golfer }
            }
            other => self.take_on_what_is_there(other).unwrap_or(Asked::Nothing),
        }
    }

    /// A step on something that is there; nothing when there is nothing of the kind.
    fn take_on_what_is_there(&mut self, step: &Step) -> Option<Asked> {
        let act = |sentence: &str| Changes::new(id(), BY, sentence);
        let golfers = self.plain.golfers();
        Some(match step {
            Step::Club { golfer } => {
                let of = self.file_of(pick(golfer, &golfers)?);
                self.send(act("A club").with_new(club(&of, "7 iron")))
            }
            Step::Read { golfer, on_a_club, club, typed } => {
                let of = self.file_of(pick(golfer, &golfers)?);
                let clubs =
                    self.plain.ids(|record| matches!(record, Record::Club(club) if club.golfer == of.id));
                let on = pick(club, &clubs).filter(|_| *on_a_club);
                let on = on.map(|club| match &self.plain.records[club].record {
                    Record::Club(club) => club.clone(),
                    other => unreachable!("a club's id names a {}", other.kind().word()),
                });
                let field = if on.is_some() { Field::ClubLength } else { Field::KnuckleHeight };
                self.send(act("Read").with_new(reading(&of, on.as_ref(), field, typed)))
            }
            Step::PlanTrial { golfer } => self.send(act("Planned").with_new(trial(pick(golfer, &golfers)?))),
            Step::Strikes { trial, count, x_mm } => {
                let trials = self.plain.ids(|record| matches!(record, Record::Trial(_)));
                let trial = pick(trial, &trials)?;
                let of = self.plain.records[trial].record.golfer()?.clone();
                let strikes = (1..=*count).map(|ball| strike(&of, trial, ball, *x_mm));
                self.send(strikes.fold(act("Struck"), Changes::with_new))
            }
            Step::Move { part, count, piece_mg } => {
                let parts = self.plain.ids(|record| matches!(record, Record::Part(_)));
                self.send(act("Moved").with_new(moved(pick(part, &parts)?, *count, *piece_mg)))
            }
            Step::Job { golfer, agreed } => {
                self.send(act("A job").with_new(job(pick(golfer, &golfers)?, *agreed)))
            }
            Step::Photo { golfer } => self.send(act("A photo").with_new(photo(pick(golfer, &golfers)?))),
            Step::Edit { record, word } => {
                let kept = self.plain.records[pick(record, &self.all())?].clone();
                self.send(act("Changed").with_changed(with_word(kept.record, word), kept.revision))
            }
            Step::Stale { record, off } => {
                let kept = self.plain.records[pick(record, &self.all())?].clone();
                let changed = with_word(kept.record, "too late");
                let changes = act("Changed on what is no more");
                self.send(match kept.revision + off {
                    // it was thought to be new
                    0 => changes.with_new(changed),
                    seen => changes.with_changed(changed, seen),
                })
            }
            Step::PutAway { record } => {
                // the house is never put away
                let all = self.plain.ids(|record| !matches!(record, Record::House(_)));
                let kept = self.plain.records[pick(record, &all)?].clone();
                let is_removed = is_removed(&kept.record);
                let turned = kept.record.with_removed(!is_removed);
                self.send(act("Put away or brought back").with_changed(turned, kept.revision))
            }
            Step::HalfAct { golfer } => {
                let of = self.file_of(pick(golfer, &golfers)?);
                let nobody = crate::place::golfer("Nobody");
                let whole = reading(&of, None, Field::Stature, "70 in");
                let orphan = reading(&nobody, None, Field::Stature, "70 in");
                self.send(act("Half").with_new(whole).with_new(orphan))
            }
            Step::Undo { act } => {
                let acts: Vec<Id> = self.plain.acts.iter().map(|act| act.id.clone()).collect();
                self.undo(pick(act, &acts)?.clone(), id())
            }
            Step::UndoAgain { act } => {
                let (act, as_id) = pick(act, &self.undone)?.clone();
                self.undo(act, as_id)
            }
            Step::SendAgain { act } => self.send(pick(act, &self.sent)?.clone()),
            Step::SendOther { act } => {
                let sent = pick(act, &self.sent)?.clone();
                self.send(Changes { sentence: format!("{}, and more", sent.sentence), ..sent })
            }
            Step::Forget { golfer } => {
                let (golfer, act) = (pick(golfer, &golfers)?.clone(), id());
                let before = self.plain.clone();
                let answer = self.plain.forget(&golfer, act.clone(), BY, self.now_ms);
                self.drop_pictures_of_the_forgotten(&before);
                self.forgotten.push(golfer.clone());
                Asked::Forget { golfer, act, answer }
            }
            Step::Restore { copy } => {
                let all: Vec<usize> = (0..self.copies.len()).collect();
                let copy = *pick(copy, &all)?;
                self.plain = self.copies[copy].clone();
                self.open();
                Asked::Restore { copy }
            }
            _ => return None,
        })
    }

    fn all(&self) -> Vec<Id> {
        self.plain.ids(|_| true)
    }

    fn file_of(&self, golfer: &Id) -> studio::GolferFile {
        match &self.plain.records[golfer].record {
            Record::Golfer(file) => file.clone(),
            other => unreachable!("a golfer's id names a {}", other.kind().word()),
        }
    }
}

fn pick<'a, T>(index: &Index, among: &'a [T]) -> Option<&'a T> {
    (!among.is_empty()).then(|| index.get(among))
}

/// Where the studio lies: on a server nothing is backed up or brought back by the store.
pub(crate) trait Server: 'static {
    const NAME: &'static str;
    const IS_FILE: bool;
}

/// A SQLite file.
#[derive(Debug)]
pub(crate) struct InAFile;
/// A PostgreSQL server.
#[derive(Debug)]
pub(crate) struct OnAServer;

impl Server for InAFile {
    const NAME: &'static str = "SQLite";
    const IS_FILE: bool = true;
}

impl Server for OnAServer {
    const NAME: &'static str = "PostgreSQL";
    const IS_FILE: bool = false;
}

/// The model of a studio.
#[derive(Debug)]
pub(crate) struct Model<S>(PhantomData<S>);

impl<S: Server> ReferenceStateMachine for Model<S> {
    type State = Expected;
    type Transition = Step;

    fn init_state() -> BoxedStrategy<Expected> {
        // the ids of a run are its own: two runs on one server share the list of those who were forgotten
        prop::bool::weighted(0.2).prop_map(Expected::begun).no_shrink().boxed()
    }

    fn transitions(_: &Expected) -> BoxedStrategy<Step> {
        let index = any::<Index>;
        // how often each comes: much that writes, enough of it on the same few records to be in each other's way
        let mut steps: Vec<(u32, BoxedStrategy<Step>)> = vec![
            (2, name().prop_map(|name| Step::Open { name }).boxed()),
            (3, index().prop_map(|golfer| Step::Club { golfer }).boxed()),
            (
                4,
                (
                    index(),
                    any::<bool>(),
                    index(),
                    prop::sample::select(vec!["31 in", "36 3/4 in", "29 1/2 in"]),
                )
                    .prop_map(|(golfer, on_a_club, club, typed)| Step::Read {
                        golfer,
                        on_a_club,
                        club,
                        typed,
                    })
                    .boxed(),
            ),
            (1, index().prop_map(|golfer| Step::PlanTrial { golfer }).boxed()),
            (
                3,
                (index(), 1..5_u32, -20.0..20.0_f64)
                    .prop_map(|(trial, count, x_mm)| Step::Strikes { trial, count, x_mm })
                    .boxed(),
            ),
            (2, (name(), 0..4_i64).prop_map(|(name, came)| Step::Part { name, came }).boxed()),
            (
                3,
                (index(), -3..4_i64, prop::option::weighted(0.3, prop::sample::select(vec![49_800, 50_100])))
                    .prop_map(|(part, count, piece_mg)| Step::Move { part, count, piece_mg })
                    .boxed(),
            ),
            (2, (index(), any::<bool>()).prop_map(|(golfer, agreed)| Step::Job { golfer, agreed }).boxed()),
            (1, index().prop_map(|golfer| Step::Photo { golfer }).boxed()),
            (
                2,
                prop::sample::select(vec!["1/8 in", "1/16 in", ""])
                    .prop_map(|typed| Step::House { typed })
                    .boxed(),
            ),
            (5, (index(), name()).prop_map(|(record, word)| Step::Edit { record, word }).boxed()),
            (
                3,
                (index(), prop::sample::select(vec![-1, 1, 2]))
                    .prop_map(|(record, off)| Step::Stale { record, off })
                    .boxed(),
            ),
            (3, index().prop_map(|record| Step::PutAway { record }).boxed()),
            (1, index().prop_map(|golfer| Step::HalfAct { golfer }).boxed()),
            (5, index().prop_map(|act| Step::Undo { act }).boxed()),
            (2, index().prop_map(|act| Step::UndoAgain { act }).boxed()),
            (4, index().prop_map(|act| Step::SendAgain { act }).boxed()),
            (2, index().prop_map(|act| Step::SendOther { act }).boxed()),
            (2, index().prop_map(|golfer| Step::Forget { golfer }).boxed()),
            (1, Just(Step::Reopen).boxed()),
            (1, Just(Step::Drop).boxed()),
        ];
        if S::IS_FILE {
            steps.extend([
                (2, Just(Step::Backup).boxed()),
                (3, index().prop_map(|copy| Step::Restore { copy }).boxed()),
                (1, Just(Step::BringOld).boxed()),
            ]);
        }
        Union::new_weighted(steps).boxed()
    }

    fn apply(mut state: Expected, step: &Step) -> Expected {
        state.now_ms += 1000;
        state.asked = state.take(step);
        state
    }
}

fn name() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec!["Ines Falk", "Olda Řehoř", "O'Neil; --", "名前", "a % _ !"])
}

fn is_removed(record: &Record) -> bool {
    *record != record.clone().with_removed(false)
}

/// The same record with another word in it, where it has one that can be changed.
fn with_word(record: Record, word: &str) -> Record {
    match record {
        Record::Golfer(file) => studio::GolferFile { name: word.to_owned(), ..file }.into(),
        Record::Club(club) => studio::OwnedClub { name: word.to_owned(), ..club }.into(),
        Record::Job(job) => JobFile { note: Some(word.to_owned()), ..job }.into(),
        Record::Part(part) => StockedPart { note: Some(word.to_owned()), ..part }.into(),
        Record::Photo(photo) => Photo { caption: Some(word.to_owned()), ..photo }.into(),
        Record::Reading(reading) => {
            studio::Reading { instrument: Some(word.to_owned()), value_si: None, ..reading }.into()
        }
        Record::Strike(strike) => StrikeMark { x_mm: strike.x_mm + 0.1, ..strike }.into(),
        Record::Trial(trial) => TrialFile { thought_longest: Some(word.to_owned()), ..trial }.into(),
        other => other,
    }
}

fn part(name: &str) -> StockedPart {
    StockedPart {
        id: id(),
        kind: PartKind::Grip,
        name: name.to_owned(),
        diameter_m: None,
        length_m: Some(0.27),
        mass_kg: None,
        cost: Some(Money::cents(650)),
        low_at: 1,
        note: None,
        removed: false,
    }
}

fn moved(part: &Id, count: i64, piece_mg: Option<i64>) -> StockMove {
    StockMove {
        id: id(),
        part: part.clone(),
        count,
        piece_mg,
        why: if count < 0 { StockWhy::Used } else { StockWhy::Came },
        job: None,
        step: None,
        by: BY.to_owned(),
        at_ms: NOW,
        removed: false,
    }
}

fn trial(golfer: &Id) -> TrialFile {
    TrialFile {
        id: id(),
        golfer: golfer.clone(),
        club: "7 iron".to_owned(),
        base_length_m: 0.9398,
        offsets_in: vec![-0.5, 0.0, 0.5],
        visits: 2,
        rounds: 2,
        balls_in_a_row: 2,
        seed: 7,
        made_by: ClubsMadeBy::SpareClubs,
        sweet_spot_sd_mm: 1.5,
        reason: TrialReason::GolferAsked,
        also_read: Vec::new(),
        expects: None,
        by: BY.to_owned(),
        at_ms: NOW,
        thought_longest: None,
        opened: None,
        verdict: None,
        profile: None,
        removed: false,
    }
}

fn strike(golfer: &Id, trial: &Id, ball: u32, x_mm: f64) -> StrikeMark {
    StrikeMark {
        id: id(),
        golfer: golfer.clone(),
        trial: trial.clone(),
        visit: 1,
        ball,
        offset_in: 0.5,
        x_mm,
        y_mm: -x_mm / 3.0,
        responses: ::trial::Responses {
            carry_m: (ball > 2).then_some(141.5),
            ..::trial::Responses::default()
        },
        by: BY.to_owned(),
        day: date(2026, 11, 28),
        at_ms: NOW,
        removed: false,
    }
}

fn photo(golfer: &Id) -> Photo {
    Photo {
        id: id(),
        golfer: golfer.clone(),
        club: None,
        caption: None,
        bytes: 36,
        width: 6,
        height: 6,
        by: BY.to_owned(),
        at_ms: NOW,
        removed: false,
    }
}

fn job(golfer: &Id, agreed: bool) -> JobFile {
    let quote = Quote {
        currency: "EUR".to_owned(),
        labour: vec![QuoteLine { what: "extend".to_owned(), count: 2, each: Money::cents(1250) }],
        parts: Vec::new(),
        discount: Share::default(),
        rush: Share::default(),
        to_the_minimum: Money::cents(0),
        tax: Share::default(),
        deposit: Share::default(),
        made: date(2026, 11, 20),
        valid_until: date(2026, 12, 20),
        accepted: agreed.then(|| Accepted { day: date(2026, 11, 21), how: "by telephone".to_owned() }),
    };
    JobFile {
        id: id(),
        golfer: golfer.clone(),
        number: 0,
        state: JobState::Agreed,
        since_ms: NOW,
        cured_ms: None,
        note: None,
        card: "[golfer]\n".to_owned(),
        work: Work::default(),
        made_ms: NOW,
        quote: Some(quote),
        uses: Vec::new(),
        promised: None,
        removed: false,
    }
}
