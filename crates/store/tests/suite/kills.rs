//! Killed in the middle of a great act: an upgrade, an import, a copy, a going back to a copy. The studio is opened again
//! and is what it was before or what it must be afterwards, never half; what was told as done stays done. Forgetting is
//! killed in `forget`, small acts in `kill_loop`.
//!
//! Kills of each act: [`KILLS`]; of an upgrade, half of them from each schema. Where strace is there, an upgrade is killed at its calls of the system too: at every
//! [`CALLS_APART`]th of them, before a release at each.

use crate::kill_loop::child;
use crate::old_files::every_released;
use crate::place::{NOW, club, folder_in_memory, golfer, id, measured, reading};
use crate::size::size;
use jiff::civil::{DateTime, date};
use sqlx::{Connection, Row};
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};
use store::{Address, Photos, Store, StoreError, restore};
use studio::{Changes, Dossier, Field, GolferFile, Id};
use tempfile::TempDir;

const KILLS: &str = "LENGTHWISE_ACT_KILLS";
const USUAL_KILLS: usize = 30;
const CALLS_APART: &str = "LENGTHWISE_KILLED_CALLS_APART";
const USUAL_CALLS_APART: usize = 15;
/// Nothing killed here takes this long, on the busiest machine. House choice.
const LONGEST: Duration = Duration::from_secs(60);

pub(crate) fn kills() -> usize {
    size(KILLS, USUAL_KILLS)
}

fn at(minute: i8) -> DateTime {
    date(2026, 11, 28).at(9, minute, 0, 0)
}

#[expect(clippy::print_stdout, reason = "the parent waits for it, and the counts are part of the proof")]
pub(crate) fn say(what: &str) {
    println!("{what}");
}

/// A child's work: opens what it needs, says that it begins, does its act and says that it is done.
fn as_child(told_by: &str, act: impl AsyncFn(PathBuf)) {
    let Ok(path) = std::env::var(told_by) else { return };
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(act(path.into()));
    say("told as done");
}

/// A child at work, and what it said.
struct Working {
    child: std::process::Child,
    said: Receiver<String>,
}

impl Working {
    fn begun(mut command: Command) -> Self {
        let mut child = command.spawn().unwrap();
        let out = child.stdout.take().unwrap();
        let (say, said) = channel();
        std::thread::spawn(move || {
            for line in BufReader::new(out).lines().map_while(Result::ok) {
                // after it was killed nobody listens
                say.send(line).unwrap_or_default();
            }
        });
        Self { child, said }
    }

    /// Waits until it says something; whether it did before it ended.
    fn waits_for(&self, what: &str) -> bool {
        let until = Instant::now() + LONGEST;
        loop {
            match self.said.recv_timeout(until.saturating_duration_since(Instant::now())) {
                // the first line of a test is begun with its name
                Ok(line) if line.ends_with(what) => return true,
                Ok(_) => {}
                Err(RecvTimeoutError::Disconnected) => return false,
                Err(RecvTimeoutError::Timeout) => panic!("a child said nothing for {LONGEST:?}"),
            }
        }
    }

    /// Waits for its end; whether it had told that it was done.
    fn ended(mut self) -> bool {
        let is_done = self.waits_for("told as done");
        self.child.wait().unwrap();
        is_done
    }

    fn killed(mut self) -> bool {
        self.child.kill().unwrap();
        self.ended()
    }
}

/// What a studio was after a kill.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Left {
    Before,
    After,
}

/// Kills an act at moments spread over the time it takes: each time in a folder `made` anew, and `looked` at afterwards.
fn killed_at_any_moment<T>(
    what: &str,
    (told_by, test): (&str, &str),
    kills: usize,
    made: impl Fn() -> (TempDir, PathBuf, T),
    looked: impl Fn(&Path, &T) -> Left,
) {
    let work = |path: &Path| {
        let working = Working::begun(child(told_by, test, path));
        assert!(working.waits_for("begins"), "{what} never began");
        working
    };
    let undisturbed = || {
        let (_folder, path, with) = made();
        let (working, began) = (work(&path), Instant::now());
        assert!(working.ended(), "{what} undisturbed is done");
        let took = began.elapsed();
        assert_eq!(looked(&path, &with), Left::After, "{what} undisturbed");
        took
    };
    // the longer of two: on a busy machine one may be quick
    let mut takes = undisturbed().max(undisturbed());
    let (mut before, mut after) = (0, 0);
    for kill in 0..kills {
        // the machine became busier or freer since: the act takes longer or shorter than it did
        match (kill > 0 && kill % 10 == 0, before, after) {
            (true, _, 0) => takes *= 2,
            (true, 0, _) => takes /= 2,
            _ => {}
        }
        let (_folder, path, with) = made();
        let working = work(&path);
        // spread evenly in an order that is no order: steps of the golden section
        let share = (f64::from(u32::try_from(kill).unwrap()) * 0.618_033_988_749_895).fract();
        std::thread::sleep(takes.mul_f64(share * 1.1));
        let is_done = working.killed();
        match looked(&path, &with) {
            Left::Before => {
                assert!(!is_done, "{what}, kill {kill}: told as done and not there");
                before += 1;
            }
            Left::After => after += 1,
        }
    }
    say(&format!("{what}, {takes:.0?}: {kills} kills, {before} left it as before, {after} as after"));
    assert!(before > 0 && after > 0, "{what} was not killed in its middle: the loop proves nothing");
}

fn runtime() -> tokio::runtime::Runtime {
    tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap()
}

async fn dossiers(path: &Path) -> Vec<Dossier> {
    let store = Store::open(&Address::File(path.to_owned())).await.unwrap();
    let checked = store.check().await.unwrap();
    assert!(checked.faults.is_empty(), "{:?}", checked.faults);
    let dossiers = store.everything().await.unwrap().dossiers;
    store.close().await;
    dossiers
}

/// Every copy that carries its name comes back whole, with so many photos; how many copies there are.
async fn whole_copies(path: &Path, photos: usize) -> usize {
    let named = std::fs::read_dir(path.with_file_name("backups")).into_iter().flatten().flatten();
    let copies: Vec<PathBuf> = named
        .map(|entry| entry.path())
        .filter(|copy| copy.extension().is_some_and(|end| end == "db"))
        .collect();
    for copy in &copies {
        let elsewhere = folder_in_memory();
        let address = Address::File(elsewhere.path().join("studio.db"));
        let restored = restore(&address, copy, at(59)).await.unwrap();
        assert_eq!(restored.photos, photos, "{}", copy.display());
    }
    copies.len()
}

// an upgrade

const UPGRADER: &str = "LENGTHWISE_KILLED_UPGRADER";

/// The child that opens an old studio; in an ordinary run there is nothing to do.
#[test]
fn killed_upgrader() {
    as_child(UPGRADER, async |path| {
        say("begins");
        drop(Store::open(&Address::File(path)).await.unwrap());
    });
}

/// An old studio of its own, as it is before it is upgraded and as it must be afterwards.
struct Old {
    made: TempDir,
    version: usize,
    upgraded: Vec<Dossier>,
}

impl Old {
    fn of(version: usize) -> Self {
        let made = folder_in_memory();
        let upgraded = runtime().block_on(async {
            let file = every_released(made.path()).await.remove(version - 1);
            let trial = folder_in_memory();
            let path = trial.path().join("studio.db");
            std::fs::copy(file, &path).unwrap();
            dossiers(&path).await
        });
        Self { made, version, upgraded }
    }

    fn laid_out(&self) -> (TempDir, PathBuf, ()) {
        let folder = folder_in_memory();
        let path = folder.path().join("studio.db");
        std::fs::copy(self.made.path().join(format!("schema-{}.db", self.version)), &path).unwrap();
        (folder, path, ())
    }

    /// Every upgrade or none was carried out, none without a copy of what was there; opened again it is upgraded.
    fn look(&self, path: &Path) -> Left {
        runtime().block_on(async {
            let versions = versions_in(path).await;
            let is_old = versions.iter().all(|version| *version <= self.version);
            if !is_old {
                assert_eq!(whole_copies(path, 0).await, 1, "the copy comes before the upgrade");
            }
            assert_eq!(dossiers(path).await, self.upgraded);
            assert_eq!(whole_copies(path, 0).await, 1);
            let newest = versions_in(path).await;
            let whole = (1..=*newest.iter().max().unwrap()).collect::<Vec<_>>();
            assert!(
                is_old || whole.ends_with(&[*versions.last().unwrap()]),
                "some upgrades and not all: {versions:?}"
            );
            if is_old { Left::Before } else { Left::After }
        })
    }
}

/// The versions a file has gone through, read from a second copy of it and of its journal: nothing of it is changed.
async fn versions_in(path: &Path) -> Vec<usize> {
    sqlx::any::install_default_drivers();
    let aside = folder_in_memory();
    let copy = aside.path().join("studio.db");
    std::fs::copy(path, &copy).unwrap();
    let journal = |path: &Path| path.with_extension("db-wal");
    if journal(path).exists() {
        std::fs::copy(journal(path), journal(&copy)).unwrap();
    }
    let mut connection = sqlx::AnyConnection::connect(&format!("sqlite://{}", copy.display())).await.unwrap();
    let rows =
        sqlx::query("SELECT version FROM studio_schema ORDER BY version").fetch_all(&mut connection).await;
    connection.close().await.unwrap();
    rows.unwrap().iter().map(|row| usize::try_from(row.get::<i64, _>(0)).unwrap()).collect()
}

#[test]
fn an_upgrade_is_done_or_not_begun_whenever_it_is_killed() {
    for version in [1, 2] {
        let old = Old::of(version);
        let what = format!("upgrade from schema {version}");
        killed_at_any_moment(
            &what,
            (UPGRADER, "kills::killed_upgrader"),
            kills() / 2,
            || old.laid_out(),
            |path, ()| old.look(path),
        );
    }
}

/// The calls by which a file, its journal and its names come on disk.
const CALLS: [&str; 5] = ["pwrite64", "fsync,fdatasync", "rename,renameat2", "unlink,mkdir", "ftruncate"];

#[test]
fn an_upgrade_is_done_or_not_begun_at_whichever_call_it_is_killed() {
    if !Command::new("strace").arg("--version").output().is_ok_and(|told| told.status.success()) {
        return say("not run: strace is not installed, or this is not Linux");
    }
    let apart = size(CALLS_APART, USUAL_CALLS_APART);
    for version in [1, 2] {
        let old = Old::of(version);
        let (mut killed, mut before) = (0, 0);
        for calls in CALLS {
            // the first of each, and from there on
            for call in (1..).step_by(apart) {
                let (_folder, path, ()) = old.laid_out();
                let is_done = Working::begun(killed_at_call(&path, calls, call)).ended();
                let left = old.look(&path);
                if is_done {
                    assert_eq!(left, Left::After, "{calls} {call}");
                    break;
                }
                killed += 1;
                before += usize::from(left == Left::Before);
            }
        }
        say(&format!("upgrade from schema {version}: killed at {killed} calls, {before} left it as before"));
        assert!(before > 0, "no call was met: the loop proves nothing");
    }
}

/// The upgrading child, killed when one of its threads comes to its n-th call of this kind.
fn killed_at_call(path: &Path, calls: &str, n: usize) -> Command {
    let plain = child(UPGRADER, "kills::killed_upgrader", path);
    let mut command = Command::new("strace");
    command
        .args(["-f", "-qq", "-o", "/dev/null", "-e", &format!("trace={calls}")])
        .args(["-e", &format!("inject={calls}:signal=KILL:when={n}")])
        .arg(plain.get_program())
        .args(plain.get_args())
        .env(UPGRADER, path)
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::null());
    command
}

// an import

const IMPORTER: &str = "LENGTHWISE_KILLED_IMPORTER";
/// Readings that come in at once.
const MUCH: usize = 600;

fn id_at(number: usize) -> Id {
    Id::of_bytes(u128::try_from(number).unwrap().to_be_bytes())
}

/// One great act: a golfer with clubs and many readings, the same each time it is made.
fn import() -> Changes {
    let of = GolferFile { id: id_at(1), ..golfer("Brought In") };
    let seven = studio::OwnedClub { id: id_at(2), ..club(&of, "7 iron") };
    let begun = Changes::new(id_at(3), "import", "Brought in").with_new(of.clone()).with_new(seven.clone());
    (0..MUCH).fold(begun, |act, number| {
        let read = reading(&of, Some(&seven), Field::Mass, "424 g");
        act.with_new(studio::Reading { id: id_at(1000 + number), ..read })
    })
}

/// The child that brings much in; in an ordinary run there is nothing to do.
#[test]
fn killed_importer() {
    as_child(IMPORTER, async |path| {
        let store = Store::open(&Address::File(path)).await.unwrap();
        say("begins");
        store.backup_before_import(at(10)).await.unwrap();
        store.save(import(), NOW).await.unwrap();
    });
}

#[test]
fn an_import_is_there_whole_or_not_at_all_whenever_it_is_killed() {
    let (template, before) = studio_with_photos();
    killed_at_any_moment(
        "import",
        (IMPORTER, "kills::killed_importer"),
        kills(),
        || laid_out(&template),
        |path, ()| {
            runtime().block_on(async {
                let there = dossiers(path).await;
                whole_copies(path, 2).await;
                let (came, others): (Vec<_>, Vec<_>) =
                    there.into_iter().partition(|dossier| dossier.golfer.record.id == id_at(1));
                assert_eq!(others, before, "nobody else is changed");
                assert!(
                    came.iter().all(|dossier| dossier.readings.len() == MUCH && dossier.clubs.len() == 1)
                );
                // sent once more it counts once
                let store = Store::open(&Address::File(path.to_owned())).await.unwrap();
                let saved = store.save(import(), NOW).await.unwrap();
                assert_eq!(saved.was_known, !came.is_empty());
                assert_eq!(store.dossier(&id_at(1)).await.unwrap().readings.len(), MUCH);
                store.close().await;
                if came.is_empty() { Left::Before } else { Left::After }
            })
        },
    );
}

// a copy, and going back to one

/// A closed studio with two photos in a folder of its own, and everything in it.
fn studio_with_photos() -> (TempDir, Vec<Dossier>) {
    let folder = folder_in_memory();
    let path = folder.path().join("studio.db");
    let before = runtime().block_on(async {
        let store = Store::open(&Address::File(path.clone())).await.unwrap();
        for number in 0..8 {
            measured(&store, &format!("Golfer {number}")).await;
        }
        store.close().await;
        let photos = Photos::of(&Address::File(path.clone())).unwrap();
        for picture in ["one", "other"] {
            photos.put(&id(), picture.repeat(50_000).as_bytes()).unwrap();
        }
        dossiers(&path).await
    });
    (folder, before)
}

/// The files of a folder in a new one.
fn laid_out(template: &TempDir) -> (TempDir, PathBuf, ()) {
    let folder = folder_in_memory();
    copy_all(template.path(), folder.path());
    let path = folder.path().join("studio.db");
    (folder, path, ())
}

fn copy_all(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap().map(Result::unwrap) {
        let (there, here) = (entry.path(), to.join(entry.file_name()));
        if there.is_dir() {
            copy_all(&there, &here);
        } else {
            std::fs::copy(&there, &here).unwrap();
        }
    }
}

const COPIER: &str = "LENGTHWISE_KILLED_COPIER";

/// The child that makes a copy; in an ordinary run there is nothing to do.
#[test]
fn killed_copier() {
    as_child(COPIER, async |path| {
        let store = Store::open(&Address::File(path)).await.unwrap();
        say("begins");
        store.backup(None, at(20)).await.unwrap();
    });
}

#[test]
fn a_copy_carries_its_name_only_when_it_is_whole_whenever_it_is_killed() {
    let (template, before) = studio_with_photos();
    killed_at_any_moment(
        "copy",
        (COPIER, "kills::killed_copier"),
        kills(),
        || laid_out(&template),
        |path, ()| {
            runtime().block_on(async {
                assert_eq!(dossiers(path).await, before);
                let copies = whole_copies(path, 2).await;
                // what was left half written is in nobody's way
                let store = Store::open(&Address::File(path.to_owned())).await.unwrap();
                let next = store.backup(None, at(20)).await;
                store.close().await;
                let next = next.unwrap();
                assert_eq!(next.photos, 2);
                assert_eq!(whole_copies(path, 2).await, copies + 1);
                if copies == 0 { Left::Before } else { Left::After }
            })
        },
    );
}

const RESTORER: &str = "LENGTHWISE_KILLED_RESTORER";

fn the_copy(path: &Path) -> PathBuf {
    let copies = std::fs::read_dir(path.with_file_name("backups")).unwrap();
    let mut copies = copies.map(|entry| entry.unwrap().path());
    copies.find(|copy| copy.extension().is_some_and(|end| end == "db")).unwrap()
}

/// The child that goes back to the copy; in an ordinary run there is nothing to do.
#[test]
fn killed_restorer() {
    as_child(RESTORER, async |path| {
        let copy = the_copy(&path);
        say("begins");
        restore(&Address::File(path), &copy, at(30)).await.unwrap();
    });
}

#[test]
fn a_studio_is_the_old_one_or_the_copy_whenever_a_restore_is_killed() {
    let (template, copied) = studio_with_photos();
    let path = template.path().join("studio.db");
    let gone_on = runtime().block_on(async {
        let store = Store::open(&Address::File(path.clone())).await.unwrap();
        store.backup(None, at(25)).await.unwrap();
        measured(&store, "Came later").await;
        store.close().await;
        Photos::of(&Address::File(path.clone())).unwrap().put(&id(), b"later").unwrap();
        dossiers(&path).await
    });
    let cut_off = std::cell::Cell::new(0);
    killed_at_any_moment(
        "restore",
        (RESTORER, "kills::killed_restorer"),
        kills(),
        || laid_out(&template),
        |path, ()| {
            runtime().block_on(async {
                let address = Address::File(path.to_owned());
                match Store::open(&address).await {
                    // nobody is told of a studio that is empty: it is gone on with by hand
                    Err(StoreError::HalfRestored(_)) => {
                        cut_off.set(cut_off.get() + 1);
                        restore(&address, &the_copy(path), at(40)).await.unwrap();
                    }
                    opened => opened.unwrap().close().await,
                }
                let there = dossiers(path).await;
                if there == gone_on {
                    return Left::Before;
                }
                assert_eq!(there, copied);
                let aside = set_aside(path);
                assert_eq!(dossiers(&aside).await, gone_on, "what was there is set aside whole");
                assert_eq!(std::fs::read_dir(aside.with_file_name("photos")).unwrap().count(), 3);
                Left::After
            })
        },
    );
    say(&format!("restore: {} were told as cut off and gone on with", cut_off.get()));
}

fn set_aside(path: &Path) -> PathBuf {
    let beside = std::fs::read_dir(path.parent().unwrap()).unwrap().map(|entry| entry.unwrap().path());
    let is_one = |folder: &PathBuf| {
        folder.file_name().is_some_and(|name| name.to_string_lossy().starts_with("set-aside-"))
    };
    beside.filter(is_one).map(|folder| folder.join("studio.db")).find(|file| file.exists()).unwrap()
}
