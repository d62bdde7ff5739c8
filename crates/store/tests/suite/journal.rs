//! A journal that was left beside a file that is not the one it was written for: SQLite itself would write it over the file.

use crate::place::{NOW, id, measured};
use jiff::civil::{DateTime, date};
use std::path::{Path, PathBuf};
use store::{Address, Store};
use studio::{Changes, GolferFile};
use tempfile::TempDir;

fn noon() -> DateTime {
    date(2026, 11, 29).at(12, 0, 0, 0)
}

/// A golfer renamed: one row is changed, two are added, and the file need not grow for it.
async fn renamed(store: &Store, golfer: &GolferFile, revision: i64) {
    let other = GolferFile { name: format!("{}'", golfer.name), ..golfer.clone() };
    let act = Changes::new(id(), "I. F.", "Renamed").with_changed(other, revision);
    store.save(act, NOW).await.unwrap();
}

/// Lays a copy beside a studio's journal that was left, as one does by hand.
fn laid_by_hand(copy: &Path, journal: &Path) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::copy(copy, folder.path().join("studio.db")).unwrap();
    std::fs::copy(journal, folder.path().join("studio.db-wal")).unwrap();
    folder
}

async fn refused(copy: &Path, journal: &Path) {
    let laid = laid_by_hand(copy, journal);
    let path = laid.path().join("studio.db");
    let error = Store::open(&Address::File(path.clone())).await.unwrap_err();
    assert!(error.to_string().contains("studio.db-wal is another file's"), "{error}");
    let is_as_before =
        |left: PathBuf, was: &Path| std::fs::read(left).unwrap() == std::fs::read(was).unwrap();
    assert!(is_as_before(path.clone(), copy), "the file was changed");
    assert!(is_as_before(path.with_extension("db-wal"), journal), "the journal was changed");
}

/// A studio with a golfer, closed, and a copy of it.
async fn with_a_copy() -> (TempDir, PathBuf, GolferFile, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("studio.db");
    let store = Store::open(&Address::File(path.clone())).await.unwrap();
    let (golfer, _) = measured(&store, "A. G.").await;
    let copy = store.backup(None, noon()).await.unwrap().path;
    store.close().await;
    (folder, path, golfer, copy)
}

/// The journal may hold much or one small act; the copy may be the one the studio was brought back from.
#[tokio::test]
async fn an_older_copy_laid_by_hand_beside_a_left_journal_is_refused() {
    let (_folder, path, golfer, copy) = with_a_copy().await;
    let (address, journal) = (Address::File(path.clone()), path.with_extension("db-wal"));

    let store = Store::open(&address).await.unwrap();
    measured(&store, "Somebody else").await;
    refused(&copy, &journal).await;
    store.close().await;
    drop(store);

    let store = Store::open(&address).await.unwrap();
    renamed(&store, &golfer, 1).await;
    refused(&copy, &journal).await;
    store.close().await;
    drop(store);

    store::restore(&address, &copy, noon()).await.unwrap();
    let store = Store::open(&address).await.unwrap();
    renamed(&store, &golfer, 1).await;
    refused(&copy, &journal).await;
}

/// The control: the studio's own journal is read, and what stands in it is there.
#[tokio::test]
async fn a_studios_own_journal_is_read() {
    let (_folder, path, golfer, _) = with_a_copy().await;
    let store = Store::open(&Address::File(path.clone())).await.unwrap();
    renamed(&store, &golfer, 1).await;
    let laid = laid_by_hand(&path, &path.with_extension("db-wal"));
    let opened = Store::open(&Address::File(laid.path().join("studio.db"))).await.unwrap();
    assert_eq!(opened.dossier(&golfer.id).await.unwrap().golfer.record.name, "A. G.'");
}
