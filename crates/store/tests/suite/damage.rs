//! Files that are damaged, newer, foreign or in use are left as they are, and told by name.

use crate::place::{NOW, id, measured, sqlite};
use jiff::civil::date;
use sqlx::Connection;
use std::path::{Path, PathBuf};
use store::{Address, ServerLock, Store, StoreError};
use studio::Changes;

/// A closed studio with something in it.
async fn closed() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("studio.db");
    let store = Store::open(&Address::File(path.clone())).await.unwrap();
    for number in 0..20 {
        measured(&store, &format!("Golfer {number}")).await;
    }
    store.close().await;
    drop(store);
    // the last connection of a file in write-ahead mode folds its journal in when it closes
    settle(&path).await;
    (folder, path)
}

async fn settle(path: &Path) {
    for _ in 0..100 {
        if !path.with_extension("db-wal").exists() {
            return;
        }
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
    }
}

async fn run(path: &Path, sql: &'static str) {
    sqlx::any::install_default_drivers();
    let mut connection = sqlx::AnyConnection::connect(&format!("sqlite://{}", path.display())).await.unwrap();
    sqlx::raw_sql(sql).execute(&mut connection).await.unwrap();
    connection.close().await.unwrap();
}

#[tokio::test]
async fn a_reopened_studio_has_everything() {
    let (_folder, path) = closed().await;
    let store = Store::open(&Address::File(path)).await.unwrap();
    assert_eq!(store.count_golfers().await.unwrap(), 20);
    assert!(store.check().await.unwrap().faults.is_empty());
}

#[tokio::test]
async fn a_newer_studio_is_refused_and_not_touched() {
    let (_folder, path) = closed().await;
    run(&path, "INSERT INTO studio_schema (version) VALUES (999)").await;
    let before = std::fs::read(&path).unwrap();
    let refused = Store::open(&Address::File(path.clone())).await.unwrap_err();
    assert!(matches!(refused, StoreError::Newer { found: 999, .. }), "{refused}");
    settle(&path).await;
    assert!(std::fs::read(&path).unwrap() == before, "every byte as it was");
}

#[tokio::test]
async fn another_programs_file_is_refused_and_not_touched() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("other.db");
    std::fs::write(&path, "").unwrap();
    run(&path, "CREATE TABLE letters (text TEXT); INSERT INTO letters VALUES ('dear')").await;
    let before = std::fs::read(&path).unwrap();
    let refused = Store::open(&Address::File(path.clone())).await.unwrap_err();
    assert!(matches!(refused, StoreError::NotOurs(_)), "{refused}");
    assert!(std::fs::read(&path).unwrap() == before);
}

/// A byte, a page or the end of the file at many places: never a panic; either the damage is found and every byte of
/// the file left as it was, or the studio is whole.
#[tokio::test]
async fn damage_is_found_or_harmless_and_nothing_is_made_worse() {
    let (folder, path) = closed().await;
    let whole = std::fs::read(&path).unwrap();
    let mut found = 0;
    for trial in 0_usize..200 {
        let mut bytes = whole.clone();
        // spread over the file by a multiplier prime to its length
        let at = trial.wrapping_mul(7919 * 31) % bytes.len();
        match trial % 3 {
            0 => bytes[at] ^= 0xff,
            1 => {
                let page = at / 4096 * 4096;
                let end = (page + 4096).min(bytes.len());
                bytes[page..end].fill(0);
            }
            _ => bytes.truncate(at / 512 * 512),
        }
        let damaged = folder.path().join(format!("damaged-{trial}.db"));
        std::fs::write(&damaged, &bytes).unwrap();
        match Store::open(&Address::File(damaged.clone())).await {
            Ok(store) => {
                // what opens can be read and checked without a panic; a byte in a text may be no fault of the file's
                drop(store.check().await);
                store.close().await;
            }
            Err(error) => {
                found += 1;
                assert!(!error.hint().is_empty());
                assert!(
                    std::fs::read(&damaged).unwrap() == bytes,
                    "trial {trial}: {error}: the file was changed"
                );
            }
        }
    }
    assert!(found > 60, "only {found} of 200 damaged files were found");
}

#[tokio::test]
async fn a_second_server_is_refused_and_names_the_first() {
    let place = sqlite().await;
    let mut first = ServerLock::take(&place.address).unwrap().unwrap();
    first.sign("http://127.0.0.1:1234, process 77").unwrap();
    let refused = ServerLock::take(&place.address).unwrap_err();
    assert!(refused.to_string().contains("127.0.0.1:1234"), "{refused}");
    drop(first);
    assert!(ServerLock::take(&place.address).is_ok());
}

#[tokio::test]
async fn a_backup_is_whole_and_never_takes_anothers_place() {
    let place = sqlite().await;
    let (file, _) = measured(&place.store, "Kept").await;
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("copy.db");
    let backup = place.store.backup(Some(&to), date(2026, 11, 3).at(9, 0, 0, 0)).await.unwrap();
    assert_eq!(backup.counts, [1, 6, 0]);
    assert!(
        place.store.backup(Some(&to), date(2026, 11, 3).at(9, 0, 0, 0)).await.is_err(),
        "a file of that name is there"
    );
    let renamed = studio::GolferFile { name: "Later".to_owned(), ..file.clone() };
    place.store.save(Changes::new(id(), "I. F.", "Renamed").with_changed(renamed, 1), NOW).await.unwrap();
    let copy = Store::open(&Address::File(to)).await.unwrap();
    assert_eq!(copy.dossier(&file.id).await.unwrap().golfer.record.name, "Kept");
}

#[tokio::test]
async fn a_day_has_its_copy_and_more_only_when_something_was_written() {
    let place = sqlite().await;
    measured(&place.store, "Kept").await;
    let at = |hour| date(2026, 11, 3).at(hour, 0, 0, 0);
    let first = place.store.backup_when_due(at(9), false).await.unwrap().unwrap();
    assert_eq!(first.counts, [1, 6, 0]);
    assert!(first.path.to_str().unwrap().ends_with("studio-20261103-090000-000-day.db"), "{:?}", first.path);
    assert_eq!(place.store.backup_when_due(at(10), false).await.unwrap(), None);
    measured(&place.store, "Later").await;
    let second = place.store.backup_when_due(at(11), true).await.unwrap().unwrap();
    assert_eq!(second.counts, [2, 12, 0]);
    let copy = Store::open(&Address::File(first.path)).await.unwrap();
    assert_eq!(copy.count_golfers().await.unwrap(), 1);
}

/// Copies are made while others write: each is whole, and nobody waits for them or is refused.
#[tokio::test(flavor = "multi_thread")]
async fn copies_are_whole_while_others_write() {
    let place = sqlite().await;
    let store = place.store.clone();
    let writer = tokio::spawn(async move {
        for number in 0..60 {
            measured(&store, &format!("Writer {number}")).await;
        }
    });
    let mut copies = 0;
    while !writer.is_finished() {
        let folder = tempfile::tempdir().unwrap();
        let to = folder.path().join("copy.db");
        let backup = place.store.backup(Some(&to), date(2026, 11, 3).at(9, 0, 0, 0)).await.unwrap();
        // each golfer is one act with six readings: a copy never holds half of one
        assert_eq!(backup.counts[1], backup.counts[0] * 6);
        copies += 1;
    }
    writer.await.unwrap();
    assert!(copies > 0);
}

#[cfg(unix)]
#[tokio::test]
async fn a_file_with_a_second_name_is_refused_and_a_link_is_followed() {
    let (folder, path) = closed().await;
    let link = folder.path().join("link.db");
    std::os::unix::fs::symlink(&path, &link).unwrap();
    let store = Store::open(&Address::File(link)).await.unwrap();
    assert_eq!(store.address(), &Address::File(path.canonicalize().unwrap()));
    store.close().await;
    std::fs::hard_link(&path, folder.path().join("second.db")).unwrap();
    assert!(matches!(Store::open(&Address::File(path)).await.unwrap_err(), StoreError::CannotUse { .. }));
}
