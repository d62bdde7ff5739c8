//! A studio that is only read, and one that holds its file for itself.

use crate::old_files::{old_in_a_file, old_on_a_server};
use crate::place::{NOW, closed, id, measured, new_database, run};
use store::{Address, Manner, OnlyRead, Store, StoreError};
use studio::{Changes, HouseSettings};

fn the_house() -> Changes {
    Changes::new(id(), "I. F.", "The house").with_new(HouseSettings::usual())
}

#[tokio::test]
async fn a_studio_opened_to_be_read_is_read_whole_and_never_written() {
    let (folder, path) = closed().await;
    let bytes = std::fs::read(&path).unwrap();
    let store = Store::open_as(&Address::File(path.clone()), Manner::OnlyRead).await.unwrap();
    assert_eq!(store.only_read(), Some(OnlyRead::Wished));
    assert_eq!(store.count_golfers().await.unwrap(), 20);
    assert_eq!(store.everything().await.unwrap().dossiers.len(), 20);
    let checked = store.check().await.unwrap();
    assert!(checked.faults.is_empty(), "{:?}", checked.faults);
    store.check_quickly().await;
    assert_eq!(store.stopped(), None);
    let refused = store.save(the_house(), NOW).await.unwrap_err();
    assert!(matches!(refused, StoreError::OnlyRead(OnlyRead::Wished)), "{refused}");
    assert!(refused.hint().contains("--read-only"));
    let golfer = store.search("", 1).await.unwrap().remove(0).golfer;
    let forgotten = store.forget(&golfer.id, id(), "I. F.", NOW).await;
    assert!(matches!(forgotten, Err(StoreError::OnlyRead(_))));
    // a copy elsewhere is no write
    let copy = folder.path().join("copy.db");
    let made = store.backup(Some(&copy), jiff::civil::datetime(2026, 11, 3, 12, 0, 0, 0)).await.unwrap();
    assert_eq!(made.counts[0], 20);
    store.close().await;
    assert_eq!(std::fs::read(&path).unwrap(), bytes);
}

#[tokio::test]
async fn beside_one_who_writes_a_reader_sees_what_was_written() {
    let (_folder, path) = closed().await;
    let writing = Store::open(&Address::File(path.clone())).await.unwrap();
    let reading = Store::open_as(&Address::File(path), Manner::OnlyRead).await.unwrap();
    measured(&writing, "Newly come").await;
    assert_eq!(reading.count_golfers().await.unwrap(), 21);
    reading.close().await;
    writing.close().await;
}

#[tokio::test]
async fn what_is_not_there_or_older_is_not_made_or_upgraded_by_reading() {
    let folder = tempfile::tempdir().unwrap();
    let nothing = Address::File(folder.path().join("none.db"));
    let error = Store::open_as(&nothing, Manner::OnlyRead).await.unwrap_err();
    assert!(error.to_string().contains("there is no studio to be read"), "{error}");
    assert!(!folder.path().join("none.db").exists());
    let path = old_in_a_file(&folder).await;
    let bytes = std::fs::read(&path).unwrap();
    let error = Store::open_as(&Address::File(path.clone()), Manner::OnlyRead).await.unwrap_err();
    assert!(error.to_string().contains("an older version wrote it"), "{error}");
    assert_eq!(std::fs::read(&path).unwrap(), bytes);
}

#[tokio::test]
async fn neither_is_it_on_a_server() {
    let Some(url) = new_database().await else { return };
    let empty = Address::parse(&url);
    let read = Store::open_as(&empty, Manner::OnlyRead).await;
    assert!(read.unwrap_err().to_string().ends_with("there is no studio to be read"));
    let old = old_on_a_server().await.unwrap();
    let error = Store::open_as(&old, Manner::OnlyRead).await.unwrap_err();
    assert!(error.to_string().contains("an older version wrote it"), "{error}");
    // both are as they were: made and upgraded only now
    for address in [empty, old] {
        assert!(Store::open_as(&address, Manner::OnlyRead).await.is_err());
        let there = i64::from(address != Address::parse(&url));
        let writing = Store::open(&address).await.unwrap();
        assert_eq!(writing.count_golfers().await.unwrap(), there);
        let reading = Store::open_as(&address, Manner::OnlyRead).await.unwrap();
        measured(&writing, "Newly come").await;
        assert_eq!(reading.everything().await.unwrap().dossiers.len(), 1 + usize::from(there == 1));
        assert!(matches!(reading.save(the_house(), NOW).await, Err(StoreError::OnlyRead(OnlyRead::Wished))));
    }
}

/// The system's own user writes everywhere, so that for them the test is run once more as somebody without rights; the
/// pages' tests mount a disk that takes nothing.
#[cfg(unix)]
#[tokio::test]
async fn in_a_folder_that_cannot_be_written_it_is_read_unless_a_journal_lies_there() {
    use std::os::unix::fs::PermissionsExt;
    let (folder, path) = closed().await;
    drop(std::fs::remove_file(folder.path().join("studio.db.in-use")));
    let allow = |mode| {
        std::fs::set_permissions(folder.path(), std::fs::Permissions::from_mode(mode)).unwrap();
    };
    allow(0o500);
    if std::fs::write(folder.path().join("probe"), "").is_ok() {
        allow(0o700);
        passes_without_rights(
            "manners::in_a_folder_that_cannot_be_written_it_is_read_unless_a_journal_lies_there",
        );
        return;
    }
    let store = Store::open(&Address::File(path.clone())).await.unwrap();
    assert_eq!(store.only_read(), Some(OnlyRead::CannotBeWritten));
    assert_eq!(store.count_golfers().await.unwrap(), 20);
    store.close().await;
    allow(0o700);
    std::fs::write(folder.path().join("studio.db-wal"), [1; 4096]).unwrap();
    allow(0o500);
    let error = Store::open(&Address::File(path)).await.unwrap_err();
    allow(0o700);
    assert!(error.to_string().contains("its journal lies beside it"), "{error}");
}

/// Runs one test of this program as a user who owns nothing but a folder for it.
#[cfg(unix)]
fn passes_without_rights(test: &str) {
    use std::os::unix::{fs::PermissionsExt, process::CommandExt};
    use std::process::Command;
    const NOBODY: u32 = 65_534;
    const CHILD: &str = "LENGTHWISE_WITHOUT_RIGHTS";
    assert!(std::env::var_os(CHILD).is_none(), "user {NOBODY} writes everywhere too");
    let folder = tempfile::tempdir().unwrap();
    std::fs::set_permissions(folder.path(), std::fs::Permissions::from_mode(0o755)).unwrap();
    // where it was built may be closed to others
    let program = folder.path().join("program");
    std::fs::copy(std::env::current_exe().unwrap(), &program).unwrap();
    let own = folder.path().join("own");
    std::fs::create_dir(&own).unwrap();
    std::os::unix::fs::chown(&own, Some(NOBODY), Some(NOBODY)).unwrap();
    let ran = Command::new(program)
        .args(["--exact", test])
        .env(CHILD, "yes")
        .env("TMPDIR", &own)
        .current_dir(&own)
        .uid(NOBODY)
        .gid(NOBODY)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&ran.stdout);
    assert!(
        ran.status.success() && said.contains("1 passed"),
        "{said}{}",
        String::from_utf8_lossy(&ran.stderr)
    );
}

#[tokio::test]
async fn on_a_network_drive_the_file_is_one_programs_alone() {
    let (folder, path) = closed().await;
    let address = Address::File(path.clone());
    let store = Store::open_as(&address, Manner::OnNetworkDrive).await.unwrap();
    assert!(store.is_on_network_drive());
    measured(&store, "Far away").await;
    assert_eq!(store.count_golfers().await.unwrap(), 21);
    let golfer = store.search("Golfer 3", 1).await.unwrap().remove(0).golfer;
    store.forget(&golfer.id, id(), "I. F.", NOW).await.unwrap();
    let backup = store.backup(None, jiff::civil::datetime(2026, 11, 3, 12, 0, 0, 0)).await.unwrap();
    assert!(backup.path.exists());
    store.check_quickly().await;
    assert_eq!(store.stopped(), None);
    assert!(!folder.path().join("studio.db-wal").exists(), "there is no journal of the shared kind");
    // neither another of ours nor another program comes in
    for manner in [Manner::Usual, Manner::OnNetworkDrive, Manner::OnlyRead] {
        let error = Store::open_as(&address, manner).await.unwrap_err();
        assert!(matches!(error, StoreError::Served(_)), "{manner:?}: {error}");
    }
    let other = tokio::spawn(async move { run(&path, "PRAGMA busy_timeout=10; DELETE FROM golfer").await });
    assert!(other.await.unwrap_err().is_panic(), "SQLite itself refuses");
    store.close().await;
    drop(store);
    // on a drive of this machine it is as any other again
    let again = Store::open(&address).await.unwrap();
    assert!(!again.is_on_network_drive());
    measured(&again, "Near").await;
    again.close().await;
}

/// The only connection is given up after a failure; the next is as good as the first.
#[tokio::test]
async fn many_at_once_share_the_one_connection() {
    let (_folder, path) = closed().await;
    let store = Store::open_as(&Address::File(path), Manner::OnNetworkDrive).await.unwrap();
    let under_way: Vec<_> = (0..20)
        .map(|number| {
            let store = store.clone();
            tokio::spawn(async move {
                measured(&store, &format!("At once {number}")).await;
                store.everything().await.unwrap().dossiers.len()
            })
        })
        .collect();
    for one in under_way {
        assert!(one.await.unwrap() > 20);
    }
    assert_eq!(store.count_golfers().await.unwrap(), 40);
}
