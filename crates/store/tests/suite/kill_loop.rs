//! Killed at any moment: what was acknowledged is there, once.

use crate::place::{NOW, golfer, id, reading};
use crate::size::size;
use sqlx::Connection;
use std::collections::HashSet;
use std::io::{BufRead, BufReader, Write};
use std::ops::Range;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;
use store::{Address, Store};
use studio::{Changes, Field, Id};

/// Kills in each run; before a release [`KILLS`] asks for more.
const USUAL_KILLS: usize = 300;
const KILLS: &str = "LENGTHWISE_KILLS";
/// Kills of one studio: with more it would grow beyond any that is worked with.
const KILLS_OF_ONE: usize = 1000;
const CHILD: &str = "LENGTHWISE_KILLED_WRITER";
const MAKER: &str = "LENGTHWISE_KILLED_MAKER";

fn kills() -> usize {
    size(KILLS, USUAL_KILLS)
}

/// The child: four clients write readings and print the id of each that was acknowledged, until it is killed. It is
/// this very test program, started again; in an ordinary run there is nothing to do.
#[test]
fn killed_writer() {
    let Ok(path) = std::env::var(CHILD) else { return };
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().unwrap();
    runtime.block_on(async {
        let store = Store::open(&Address::File(path.into())).await.unwrap();
        let file = store.search("", 1).await.unwrap().remove(0).golfer;
        let mut clients = tokio::task::JoinSet::new();
        for _ in 0..4 {
            let (store, file) = (store.clone(), file.clone());
            clients.spawn(async move {
                loop {
                    let read = reading(&file, None, Field::Stature, "70 in");
                    let told = read.id.to_string();
                    store.save(Changes::new(id(), "I. F.", "Read").with_new(read), NOW).await.unwrap();
                    let mut out = std::io::stdout().lock();
                    writeln!(out, "saved {told}").unwrap();
                    out.flush().unwrap();
                }
            });
        }
        clients.join_next().await;
    });
}

/// The child that makes a new studio, until it is killed.
#[test]
fn killed_maker() {
    let Ok(path) = std::env::var(MAKER) else { return };
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(async { drop(Store::open(&Address::File(path.into())).await.unwrap()) });
}

/// Killed while it makes a new studio: what is left opens as one.
#[test]
fn a_studio_half_made_is_none_or_whole() {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    let mut half_made = 0;
    for kill in 0..kills() / 5 {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("studio.db");
        let mut child = child(MAKER, "kill_loop::killed_maker", &path).spawn().unwrap();
        std::thread::sleep(Duration::from_millis(u64::try_from(kill * 7 % 41).unwrap()));
        child.kill().unwrap();
        child.wait().unwrap();
        half_made += usize::from(path.exists() && runtime.block_on(is_without_tables(&path)));
        runtime.block_on(async {
            let store = Store::open(&Address::File(path)).await.unwrap();
            assert!(store.check().await.unwrap().faults.is_empty());
            store.close().await;
        });
    }
    assert!(half_made > 0, "no kill met a studio half made: the loop proves nothing");
}

/// Whether a file is there and no golfer's table in it.
async fn is_without_tables(path: &Path) -> bool {
    sqlx::any::install_default_drivers();
    let copy = path.with_extension("looked-at");
    std::fs::copy(path, &copy).unwrap();
    drop(std::fs::copy(path.with_extension("db-wal"), path.with_extension("looked-at-wal")));
    let mut connection = sqlx::AnyConnection::connect(&format!("sqlite://{}", copy.display())).await.unwrap();
    let found = sqlx::query("SELECT id FROM golfer").fetch_all(&mut connection).await;
    connection.close().await.unwrap();
    found.is_err()
}

#[test]
#[expect(clippy::print_stdout, reason = "the counts are part of the proof")]
fn what_was_acknowledged_survives_any_kill() {
    let kills = kills();
    let mut acknowledged = 0;
    for begun in (0..kills).step_by(KILLS_OF_ONE) {
        acknowledged += acknowledged_by_one(begun..kills.min(begun + KILLS_OF_ONE));
    }
    assert!(acknowledged > kills, "only {acknowledged} writes were acknowledged: the loop proves little");
    println!("{kills} kills, {acknowledged} acknowledged, 0 lost, 0 doubled");
}

/// Kills those who write into one studio, and holds it against what they were told; returns how much that was.
fn acknowledged_by_one(kills: Range<usize>) -> usize {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("studio.db");
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    let file = golfer("Killed");
    runtime.block_on(async {
        let store = Store::open(&Address::File(path.clone())).await.unwrap();
        store.save(Changes::new(id(), "I. F.", "Opened").with_new(file.clone()), NOW).await.unwrap();
        store.close().await;
    });
    let mut acknowledged: HashSet<String> = HashSet::new();
    for kill in kills {
        // 0 to 200 ms, spread evenly in an order that is no order
        let after = Duration::from_millis(u64::try_from(kill * 67 % 201).unwrap());
        let from = if kill.is_multiple_of(2) { CountedFrom::Start } else { CountedFrom::FirstSaved };
        acknowledged.extend(killed_after(&path, from, after));
        if kill % 50 == 49 {
            runtime.block_on(check(&path, &file.id, &acknowledged));
        }
    }
    runtime.block_on(check(&path, &file.id, &acknowledged));
    acknowledged.len()
}

/// This very test program, to run one of its tests on a file.
pub(crate) fn child(told_by: &str, test: &str, path: &Path) -> Command {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command
        .args(["--exact", test, "--nocapture", "--test-threads=1"])
        .env(told_by, path)
        .stdout(Stdio::piped())
        .stderr(Stdio::null());
    command
}

/// What the time until a kill is counted from.
#[derive(PartialEq)]
enum CountedFrom {
    /// The start of the program: it may be killed while it opens the studio.
    Start,
    /// The first write that was acknowledged: on a busy machine opening alone may take longer than any kill waits.
    FirstSaved,
}

fn killed_after(path: &Path, from: CountedFrom, after: Duration) -> Vec<String> {
    const LONGEST_OPENING: Duration = Duration::from_secs(60);
    let mut child = child(CHILD, "kill_loop::killed_writer", path).spawn().unwrap();
    let out = child.stdout.take().unwrap();
    let (saved, first_saved) = std::sync::mpsc::channel();
    let reader = std::thread::spawn(move || {
        BufReader::new(out)
            .lines()
            .map_while(Result::ok)
            .filter_map(|line| line.split("saved ").nth(1).map(|id| id.trim().to_owned()))
            .filter(|id| Id::parse(id).is_ok())
            // after the first nobody listens
            .inspect(|_| saved.send(()).unwrap_or_default())
            .collect::<Vec<_>>()
    });
    if from == CountedFrom::FirstSaved {
        first_saved.recv_timeout(LONGEST_OPENING).unwrap();
    }
    std::thread::sleep(after);
    child.kill().unwrap();
    child.wait().unwrap();
    reader.join().unwrap()
}

async fn check(path: &Path, golfer: &Id, acknowledged: &HashSet<String>) {
    let store = Store::open(&Address::File(path.to_owned())).await.unwrap();
    let checked = store.check().await.unwrap();
    assert!(checked.faults.is_empty(), "{:?}", checked.faults);
    let dossier = store.dossier(golfer).await.unwrap();
    let there: Vec<String> = dossier.readings.iter().map(|kept| kept.record.id.to_string()).collect();
    let once: HashSet<&String> = there.iter().collect();
    assert_eq!(once.len(), there.len(), "a reading is there twice");
    let lost: Vec<&String> = acknowledged.iter().filter(|id| !once.contains(id)).collect();
    assert!(lost.is_empty(), "{} of {} acknowledged readings are lost", lost.len(), acknowledged.len());
    store.close().await;
}
