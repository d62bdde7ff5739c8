//! Whatever holds data is for its owner alone: the studio, its journal, photos and copies, from their first moment.
#![cfg(unix)]

use crate::place::{closed, id, measured};
use jiff::civil::date;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use store::{Address, Photos, Store};

fn rights(path: &Path) -> u32 {
    std::fs::metadata(path).unwrap().permissions().mode() & 0o777
}

/// Every file and folder below a folder.
fn everything_in(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(everything_in(&path));
        }
        found.push(path);
    }
    found
}

fn assert_private(folder: &Path) -> usize {
    let everything = everything_in(folder);
    for path in &everything {
        let wanted = if path.is_dir() { 0o700 } else { 0o600 };
        assert_eq!(rights(path), wanted, "{} is open to others", path.display());
    }
    everything.len()
}

#[tokio::test]
async fn studio_journal_photos_and_copies_are_for_their_owner_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("data/studio.db");
    let address = Address::File(path.clone());
    let store = Store::open(&address).await.unwrap();
    let photo = id();
    Photos::of(&address).unwrap().put(&photo, b"picture").unwrap();
    measured(&store, "Private").await;
    let at = |hour| date(2026, 11, 3).at(hour, 0, 0, 0);
    store.backup_when_due(at(9), false).await.unwrap().unwrap();
    store.backup_when_due(at(10), true).await.unwrap().unwrap();
    let by_hand = folder.path().join("by-hand.db");
    store.backup(Some(&by_hand), at(11)).await.unwrap();
    assert!(path.with_extension("db-wal").exists(), "the journal is looked at too");
    assert!(assert_private(folder.path()) > 10);
    store.close().await;
    drop(store);
    // a copy that was carried about comes back as private as it left
    std::fs::set_permissions(&by_hand, std::fs::Permissions::from_mode(0o644)).unwrap();
    store::restore(&address, &by_hand, at(12)).await.unwrap();
    std::fs::remove_file(&by_hand).unwrap();
    assert_private(folder.path());
}

/// A file an earlier version or a person left open to others, with a journal beside it.
#[tokio::test]
async fn a_studio_that_others_could_read_is_made_private_before_its_journal_is_written() {
    let (folder, path) = closed().await;
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o644)).unwrap();
    let store = Store::open(&Address::File(path.clone())).await.unwrap();
    measured(&store, "Private").await;
    assert_private(folder.path());
    store.close().await;
    let journal = path.with_extension("db-wal");
    std::fs::write(&journal, "").unwrap();
    std::fs::set_permissions(&journal, std::fs::Permissions::from_mode(0o644)).unwrap();
    let store = Store::open(&Address::File(path)).await.unwrap();
    measured(&store, "Private too").await;
    assert_eq!(rights(&journal), 0o600);
}
