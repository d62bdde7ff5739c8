//! A studio and a plain map go through the same steps: after each they answer the same and hold the same.
//!
//! The steps are drawn by chance; a run is told by its seed and drawn again from it. Runs: [`RUNS`]; the seed of the first:
//! [`SEED`]; the next run has the next one.

mod old;
mod plain;
mod steps;

use crate::old_files::{oldest_in_a_file, oldest_on_a_server};
use crate::place::{drop_database, folder_in_memory, new_database};
use crate::size::size;
use jiff::ToSpan;
use jiff::civil::{DateTime, date};
use plain::{AT_OPENING, Acknowledged, Plain};
use proptest::test_runner::{Config, RngAlgorithm, TestCaseError, TestError, TestRng, TestRunner};
use proptest_state_machine::{ReferenceStateMachine, StateMachineTest};
use std::collections::BTreeMap;
use std::marker::PhantomData;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{LazyLock, Mutex};
use std::time::Instant;
use steps::{Asked, BY, Expected, InAFile, Model, OnAServer, Server};
use store::{Address, Photos, Refusal, Saved, Store, StoreError, restore};
use studio::{HouseSettings, Id, Kept, Record, RecordKind};
use tempfile::TempDir;
use tokio::runtime::Runtime;

const RUNS: &str = "LENGTHWISE_MODEL_RUNS";
const USUAL_RUNS: usize = 64;
const SEED: &str = "LENGTHWISE_MODEL_SEED";
const STEPS: usize = 40;
/// Runs at once: most of the time the disk or the server is waited for. House choice.
const AT_ONCE: usize = 3;
/// Runs after which it is said how far it is. House choice.
const TOLD_EVERY: usize = 250;
/// How often a run that failed is made smaller, to be read. House choice.
const SHRINKS: u32 = 400;

#[test]
fn a_studio_in_a_file_is_as_its_model() {
    run_all::<InAFile>(&["copied", "brought back", "upgraded", "forgotten again at opening"]);
}

#[test]
fn a_studio_on_a_server_is_as_its_model() {
    if std::env::var("LENGTHWISE_TEST_POSTGRES").is_ok() {
        run_all::<OnAServer>(&[]);
    }
}

/// What the usual runs come to on either server, or they are no proof.
const EVERY_ANSWER: [&str; 13] = [
    "saved",
    "answered again",
    "refused: changed elsewhere",
    "refused: same id, other body",
    "refused: not there",
    "refused: not on the shelf",
    "undone",
    "undone again",
    "refused: not undoable",
    "forgotten",
    "opened upgraded",
    "closed and opened",
    "dropped and opened",
];

/// How often each answer came, on each server.
static TOLD: LazyLock<Mutex<BTreeMap<(&str, &str), usize>>> = LazyLock::new(Mutex::default);

fn tell(server: &'static str, answer: &'static str) {
    *TOLD.lock().unwrap().entry((server, answer)).or_default() += 1;
}

#[expect(clippy::print_stdout, reason = "the counts and the seed are part of the proof")]
fn run_all<S: Server>(and_these: &[&str]) {
    let server = S::NAME;
    let runs = size(RUNS, USUAL_RUNS);
    let by_chance = usize::try_from(uuid::Uuid::now_v7().as_u128() & 0xffff_ffff).unwrap();
    let first_seed = size(SEED, by_chance);
    println!("{server}: {runs} runs of {STEPS} steps, seeds from {first_seed}");
    let began = Instant::now();
    let (next, failed) = (AtomicUsize::new(0), Mutex::new(None));
    std::thread::scope(|scope| {
        for _ in 0..AT_ONCE {
            scope.spawn(|| {
                loop {
                    let run = next.fetch_add(1, Ordering::Relaxed);
                    if run >= runs || failed.lock().unwrap().is_some() {
                        return;
                    }
                    if run > 0 && run.is_multiple_of(TOLD_EVERY) {
                        println!("{server}: {run} runs so far, {:.0?}", began.elapsed());
                    }
                    let seed = first_seed + run;
                    if let Err(why) = run_one::<S>(seed) {
                        *failed.lock().unwrap() = Some((seed, why));
                    }
                }
            });
        }
    });
    if let Some((seed, why)) = failed.lock().unwrap().take() {
        panic!("{SEED}={seed} {RUNS}=1 fails on {server}: {why}");
    }
    let told = TOLD.lock().unwrap();
    let told: BTreeMap<&str, usize> = told
        .iter()
        .filter(|((of, _), _)| *of == S::NAME)
        .map(|((_, answer), count)| (*answer, *count))
        .collect();
    println!("{server}: {runs} runs as the model has it, {:.0?}; {told:?}", began.elapsed());
    let unseen: Vec<&&str> =
        EVERY_ANSWER.iter().chain(and_these).filter(|answer| !told.contains_key(**answer)).collect();
    assert!(runs < USUAL_RUNS || unseen.is_empty(), "no run came to {unseen:?}");
}

fn run_one<S: Server>(seed: usize) -> Result<(), String> {
    let mut bytes = [0; 32];
    bytes[..8].copy_from_slice(&seed.to_le_bytes());
    let config =
        Config { cases: 1, failure_persistence: None, max_shrink_iters: SHRINKS, ..Config::default() };
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &bytes);
    let mut runner = TestRunner::new_with_rng(config.clone(), rng);
    let drawn = Model::<S>::sequential_strategy(STEPS);
    let ran = runner.run(&drawn, |(begun, steps, seen)| {
        Tested::<S>::test_sequential(config.clone(), begun, steps, seen);
        Ok::<_, TestCaseError>(())
    });
    ran.map_err(|error| match error {
        TestError::Fail(why, (begun, steps, _)) => {
            format!("{why}\nbegun with an old studio: {}\n{steps:#?}", begun.begun_old.is_some())
        }
        TestError::Abort(why) => why.to_string(),
    })
}

/// The store that goes through the steps.
struct Tested<S>(PhantomData<S>);

/// A studio, where it lies, and its copies.
struct Place {
    /// None while another file is put in its place.
    opened: Option<Store>,
    address: Address,
    folder: TempDir,
    copies: Vec<PathBuf>,
    now: DateTime,
    runtime: Runtime,
}

impl<S: Server> StateMachineTest for Tested<S> {
    type SystemUnderTest = Place;
    type Reference = Model<S>;

    fn init_test(begun: &Expected) -> Place {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        let folder = folder_in_memory();
        let path = folder.path().join("studio.db");
        let (store, address) = runtime.block_on(async {
            let address = match (&begun.begun_old, S::IS_FILE) {
                (None, true) => Address::File(path),
                (Some(golfer), true) => {
                    oldest_in_a_file(&path, golfer).await;
                    Address::File(path)
                }
                (None, false) => Address::parse(&new_database().await.unwrap()),
                (Some(golfer), false) => oldest_on_a_server(golfer).await.unwrap(),
            };
            (Store::open(&address).await.unwrap(), address)
        });
        if begun.begun_old.is_some() {
            tell(S::NAME, "opened upgraded");
        }
        let now = date(2026, 11, 28).at(9, 0, 0, 0);
        Place { opened: Some(store), address, folder, copies: Vec::new(), now, runtime }
    }

    fn apply(mut place: Place, expected: &Expected, _: steps::Step) -> Place {
        place.now = place.now.checked_add(1.second()).unwrap();
        let runtime = std::mem::replace(
            &mut place.runtime,
            tokio::runtime::Builder::new_current_thread().build().unwrap(),
        );
        runtime.block_on(place.take::<S>(expected));
        place.runtime = runtime;
        place
    }

    fn check_invariants(place: &Place, expected: &Expected) {
        place.runtime.block_on(async {
            compare(place.store(), &expected.plain).await;
            if let Some(photos) = Photos::of(&place.address) {
                for id in expected.plain.ids(|record| matches!(record, Record::Photo(_))) {
                    let picture = expected.pictures.contains(&id).then(|| picture(&id));
                    assert_eq!(photos.get(&id), picture, "the picture of {id}");
                }
            }
        });
    }

    fn teardown(place: Place, expected: Expected) {
        place.runtime.block_on(async {
            let checked = place.store().check().await.unwrap();
            assert!(checked.faults.is_empty(), "{:?}", checked.faults);
            // a picture of somebody who was forgotten would be one of no photo
            let named = |note: &String| expected.pictures.iter().any(|id| note.contains(id.as_str()));
            assert!(checked.notes.iter().all(named), "{:?}", checked.notes);
            for record in expected.plain.records.keys() {
                compare_history(place.store(), &expected.plain, record).await;
            }
            place.store().close().await;
            if let Address::Server(url) = &place.address {
                drop_database(url).await;
            }
        });
    }
}

impl Place {
    fn store(&self) -> &Store {
        self.opened.as_ref().unwrap()
    }

    /// Asks the store for what was asked for, and holds its answer against the expected one.
    async fn take<S: Server>(&mut self, expected: &Expected) {
        match &expected.asked {
            Asked::Nothing => {}
            Asked::Save { changes, answer } => {
                let saved = self.store().save(changes.clone(), expected.now_ms).await;
                tell(S::NAME, same_answer(saved, answer, ["saved", "answered again"]));
                let is_new = answer.as_ref().is_ok_and(|(_, was_known)| !was_known);
                for put in changes.puts.iter().filter(|put| is_new && put.seen.is_none()) {
                    if let (Record::Photo(photo), Some(photos)) = (&put.record, Photos::of(&self.address)) {
                        photos.put(&photo.id, &picture(&photo.id)).unwrap();
                    }
                }
                for put in &changes.puts {
                    compare_history(self.store(), &expected.plain, put.record.id()).await;
                }
            }
            Asked::Undo { act, as_id, answer } => {
                let undone = self.store().undo(act, as_id.clone(), BY, expected.now_ms).await;
                tell(S::NAME, same_answer(undone, answer, ["undone", "undone again"]));
            }
            Asked::Forget { golfer, act, answer } => {
                let forgotten = self.store().forget(golfer, act.clone(), BY, expected.now_ms).await;
                match (forgotten, answer) {
                    (Ok(_), Ok(())) => tell(S::NAME, "forgotten"),
                    (Err(StoreError::Refused(refusal)), Err(expected)) => assert_eq!(refusal, *expected),
                    (forgotten, answer) => panic!("expected {answer:?}, found {forgotten:?}"),
                }
            }
            Asked::Reopen => {
                self.store().close().await;
                self.reopen().await;
                tell(S::NAME, "closed and opened");
            }
            Asked::Drop => {
                self.reopen().await;
                tell(S::NAME, "dropped and opened");
            }
            Asked::Backup => {
                let backup = self.store().backup(None, self.now).await.unwrap();
                self.copies.push(backup.path);
                tell(S::NAME, "copied");
            }
            Asked::Restore { copy } => {
                let copy = self.copies[*copy].clone();
                self.bring_back(&copy).await;
                tell(S::NAME, "brought back");
            }
            Asked::BringOld { golfer } => {
                let old = self.folder.path().join(format!("old-{golfer}.db"));
                oldest_in_a_file(&old, golfer).await;
                self.bring_back(&old).await;
                tell(S::NAME, "upgraded");
            }
        }
        if expected.plain.acts.last().is_some_and(|act| act.by == AT_OPENING) {
            tell(S::NAME, "forgotten again at opening");
        }
    }

    /// Lets go of the studio, closed or not, and opens it anew.
    async fn reopen(&mut self) {
        drop(self.opened.take());
        self.opened = Some(Store::open(&self.address).await.unwrap());
    }

    async fn bring_back(&mut self, copy: &Path) {
        self.store().close().await;
        // a studio that is held open is not replaced
        drop(self.opened.take());
        restore(&self.address, copy, self.now).await.unwrap();
        self.reopen().await;
    }
}

/// What lies in the file of a photo: enough to tell one from another.
fn picture(id: &Id) -> Vec<u8> {
    id.as_str().as_bytes().to_vec()
}

/// Holds an answer against the expected one, and names it: for an act that is new, and for one that was known.
fn same_answer(
    found: Result<Saved, StoreError>,
    expected: &Result<Acknowledged, Refusal>,
    [new, known]: [&'static str; 2],
) -> &'static str {
    let found = match found {
        Ok(saved) => Ok((saved.seq, saved.was_known)),
        Err(StoreError::Refused(refusal)) => Err(refusal),
        Err(error) => panic!("expected {expected:?}, found {error}"),
    };
    assert_eq!(found, *expected);
    match found {
        Ok((_, false)) => new,
        Ok((_, true)) => known,
        Err(Refusal::ChangedElsewhere { .. }) => "refused: changed elsewhere",
        Err(Refusal::SameIdOtherBody) => "refused: same id, other body",
        Err(Refusal::NotThere) => "refused: not there",
        Err(Refusal::NotOnTheShelf { .. }) => "refused: not on the shelf",
        Err(Refusal::NotUndoable) => "refused: not undoable",
        Err(Refusal::WasErased) => "refused: was erased",
    }
}

/// Every record with its revision, the house, the stock and the whole timeline: the store's and the model's are the same.
async fn compare(store: &Store, plain: &Plain) {
    let mut found: BTreeMap<Id, Kept<Record>> = BTreeMap::new();
    let everything = store.everything().await.unwrap();
    for dossier in everything.dossiers {
        found.extend(records_of(dossier).into_iter().map(|kept| (kept.record.id().clone(), kept)));
    }
    let parts = everything.shelf.parts.into_iter().map(Record::from);
    for record in parts.chain(everything.shelf.moves.into_iter().map(Record::from)) {
        let kept = store.record(record.kind(), record.id()).await.unwrap().unwrap();
        assert_eq!(kept.record, record, "read one by one and with all others");
        found.insert(record.id().clone(), kept);
    }
    let house_id = HouseSettings::fixed_id();
    if let Some(kept) = store.record(RecordKind::House, &house_id).await.unwrap() {
        found.insert(house_id.clone(), kept);
    }
    for (id, kept) in &plain.records {
        assert_eq!(found.get(id), Some(kept), "expected right, found left");
    }
    for (id, kept) in &found {
        assert!(plain.records.contains_key(id), "nothing was expected, found {kept:?}");
    }
    let house = store.house().await.unwrap();
    let expected = plain
        .records
        .get(&house_id)
        .map_or_else(|| HouseSettings::usual().into(), |kept| kept.record.clone());
    assert_eq!(Record::from(house.record), expected);
    let shelf = store.shelf().await.unwrap();
    for part in plain.ids(|record| matches!(record, Record::Part(_))) {
        assert_eq!(shelf.stock(&part), plain.stock(&part).values().sum::<i64>(), "the stock of {part}");
    }
    compare_timeline(store, plain).await;
}

async fn compare_timeline(store: &Store, plain: &Plain) {
    let found = store.log_since(0, i64::from(u16::MAX)).await.unwrap();
    assert_eq!(found.len(), plain.acts.len(), "acts");
    for (line, act) in found.iter().zip(&plain.acts) {
        assert!(line.id == act.id || act.by == AT_OPENING, "expected {act:?}, found {line:?}");
        let told = (line.seq, line.sentence.as_str(), line.by.as_str(), line.at_ms, line.golfer.as_ref());
        let expected = (act.seq, act.sentence.as_str(), act.by.as_str(), act.at_ms, act.golfer.as_ref());
        assert_eq!(told, expected);
        assert_eq!(
            (line.is_undone, line.is_undoing),
            (act.undone_by.is_some(), act.undoes.is_some()),
            "{act:?}"
        );
    }
    assert_eq!(
        *store.watch().borrow(),
        plain.acts.last().map_or(0, |act| act.seq),
        "what those who watch are told"
    );
}

async fn compare_history(store: &Store, plain: &Plain, record: &Id) {
    let history = store.history(record).await.unwrap();
    let found: Vec<(Id, Record)> = history.into_iter().map(|seen| (seen.act, seen.record)).collect();
    assert_eq!(found, plain.history(record), "the history of {record}");
}

fn records_of(dossier: studio::Dossier) -> Vec<Kept<Record>> {
    fn each<T: Into<Record>>(kept: Vec<Kept<T>>) -> impl Iterator<Item = Kept<Record>> {
        kept.into_iter().map(|kept| Kept { record: kept.record.into(), revision: kept.revision })
    }
    each(vec![dossier.golfer])
        .chain(each(dossier.visits))
        .chain(each(dossier.readings))
        .chain(each(dossier.clubs))
        .chain(each(dossier.targets))
        .chain(each(dossier.trials))
        .chain(each(dossier.strikes))
        .chain(each(dossier.jobs))
        .chain(each(dossier.ticks))
        .chain(each(dossier.follow_ups))
        .chain(each(dossier.remarks))
        .chain(each(dossier.photos))
        .collect()
}
