//! For tests: what this process has open of a studio. Its locks are not lost, and no other program is given it.
#![cfg(target_os = "linux")]

use crate::connect::{Writer, look_with, read_only_url, reader};
use crate::in_tests::new_id;
use crate::own_number::in_the_file;
use crate::{Address, Photos, Store};
use fitting::Handedness;
use jiff::civil::date;
use sqlx::{Connection, Row};
use std::fs::File;
use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};
use studio::{Changes, GolferFile, Id};
use tempfile::TempDir;

/// The files this process has open.
const OPEN: &str = "/proc/self/fd";

/// A studio that is open, with a golfer in it. In memory, where the system has it: the inodes of `/proc/locks` are its own.
async fn open() -> (TempDir, PathBuf, Store, Id) {
    let folder = tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir()).unwrap();
    let path = folder.path().join("studio.db");
    let store = Store::open(&Address::File(path.clone())).await.unwrap();
    let golfer = GolferFile::new(new_id(), "Private", Handedness::Right).unwrap();
    let of = golfer.id.clone();
    store.save(Changes::new(new_id(), "I. F.", "Opened").with_new(golfer), 1).await.unwrap();
    (folder, path, store, of)
}

/// How many locks this process holds on a file. It loses all of them when it closes the file, whoever opened it there.
fn locks_on(path: &Path) -> usize {
    let inode = format!(":{}", std::fs::metadata(path).unwrap().ino());
    let process = std::process::id().to_string();
    let told = std::fs::read_to_string("/proc/locks").unwrap();
    let is_ours = |line: &&str| match line.split_whitespace().collect::<Vec<_>>()[..] {
        [_, "POSIX", _, _, holder, place, ..] => holder == process && place.ends_with(&inode),
        _ => false,
    };
    told.lines().filter(is_ours).count()
}

#[tokio::test]
async fn nothing_that_is_done_with_an_open_studio_loses_its_locks() {
    let (folder, path, store, golfer) = open().await;
    let index = path.with_extension("db-shm");
    let assert_held = |after: &str| {
        for file in [&path, &index] {
            assert!(locks_on(file) > 0, "{} has no lock after {after}", file.display());
        }
    };
    assert_held("a write");
    Photos::of(store.address()).unwrap().put(&new_id(), b"picture").unwrap();
    assert_held("a photo");
    let at = |hour| date(2026, 11, 3).at(hour, 0, 0, 0);
    store.backup_when_due(at(9), false).await.unwrap().unwrap();
    store.backup(Some(&folder.path().join("by-hand.db")), at(10)).await.unwrap();
    assert_held("copies");
    store.check().await.unwrap();
    store.check_quickly().await;
    store.look_at_journal().await;
    assert_held("checks");
    store.everything().await.unwrap();
    assert_held("reading");
    store.backup_before_forgetting(at(11)).await.unwrap();
    store.forget(&golfer, new_id(), "I. F.", 2).await.unwrap();
    assert_held("a forgetting");
    // the system does as said above
    drop(File::open(&path).unwrap());
    assert_eq!(locks_on(&path), 0);
}

/// Another program, whose connection is the last, could fold the journal in and take it away under who looks.
#[tokio::test]
async fn looking_into_a_file_loses_no_lock_on_it() {
    let (_folder, path, store, _) = open().await;
    store.close().await;
    let own_number = in_the_file(&path).unwrap();
    let mut looking = reader(&read_only_url(&path).unwrap()).await.unwrap();
    // what is read first takes the lock that is held from then on
    sqlx::query("PRAGMA user_version").execute(&mut looking).await.unwrap();
    let held = locks_on(&path);
    look_with(&mut looking, &path, own_number, false).await.unwrap();
    assert!(own_number > 0 && held > 0 && locks_on(&path) == held, "{held}");
    looking.close().await.unwrap();
    assert_eq!(locks_on(&path), 0);
}

/// Who has the file open beside the studio would keep its locks, and could read it.
#[tokio::test]
async fn a_program_that_is_started_gets_no_connection() {
    let (folder, _, _store, _) = open().await;
    let open_here =
        std::fs::read_dir(OPEN).unwrap().filter_map(|entry| entry.unwrap().path().read_link().ok());
    let ours = open_here.filter(|path| path.starts_with(folder.path())).count();
    assert!(ours >= 3, "the file, its journal and its index are open here: {ours}");
    let started = std::process::Command::new("ls").args(["-l", OPEN]).output().unwrap();
    let given = String::from_utf8(started.stdout).unwrap();
    assert!(started.status.success() && given.contains(" -> "), "{given}");
    assert!(!given.contains(folder.path().to_str().unwrap()), "{given}");
}

/// A reader that has not ended keeps the journal from being folded in.
#[tokio::test]
async fn what_was_read_is_let_go_before_it_is_answered() {
    let (_folder, _, store, golfer) = open().await;
    let Writer::Alone(writer) = &store.inner.writer else { panic!("a file has one writer") };
    let mut writer = writer.lock().await;
    let writer = writer.as_mut().unwrap();
    sqlx::query("PRAGMA busy_timeout=0").execute(&mut *writer).await.unwrap();
    let mut is_kept = async || {
        let folded = sqlx::query("PRAGMA wal_checkpoint(TRUNCATE)").fetch_one(&mut *writer).await.unwrap();
        folded.get::<i64, _>(0) == 1
    };
    store.everything().await.unwrap();
    store.dossier(&golfer).await.unwrap();
    store.search("Priv", 5).await.unwrap();
    store.log(None, 5).await.unwrap();
    assert!(!is_kept().await);
    let mut reading = store.inner.readers.begin().await.unwrap();
    sqlx::query("SELECT id FROM golfer").fetch_all(&mut *reading).await.unwrap();
    sqlx::query("UPDATE golfer SET seq = seq")
        .execute(&mut *store.inner.readers.acquire().await.unwrap())
        .await
        .unwrap();
    assert!(is_kept().await);
}
