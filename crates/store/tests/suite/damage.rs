//! Files that are damaged, newer, foreign or in use are left as they are, and told by name.

use crate::place::{closed, folder_in_memory, measured, run, sqlite};
use crate::size::size;
use sqlx::Connection;
use store::{Address, ServerLock, Store, StoreError};

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
    run(&path, "INSERT INTO studio_schema (version, program) VALUES (999, '9.8.7')").await;
    let before = std::fs::read(&path).unwrap();
    let refused = Store::open(&Address::File(path.clone())).await.unwrap_err();
    assert!(matches!(refused, StoreError::Newer { found: 999, .. }), "{refused}");
    assert!(refused.to_string().contains("was written by Lengthwise 9.8.7"), "{refused}");
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

/// The power was cut while the first page of a new studio was written: none of its sectors that say anything came to the
/// disk, and the journal says that there was nothing before.
#[tokio::test]
async fn a_studio_whose_first_page_never_came_to_the_disk_is_made_anew() {
    const ZEROS: [u8; 3072] = [0; 3072];
    // the parts of a header: its mark, no record of a page, a number, pages before, bytes of a sector and of a page
    let journal_of = |pages_before: u32| -> Vec<u8> {
        let mark = [0xd9, 0xd5, 0x05, 0xf9, 0x20, 0xa1, 0x63, 0xd7];
        let numbers = [0, 1_234_567, pages_before, 512, 4096].map(u32::to_be_bytes).concat();
        [&mark[..], &numbers[..], &[0; 484][..]].concat()
    };
    let folder = tempfile::tempdir().unwrap();
    let (path, journal) = (folder.path().join("studio.db"), folder.path().join("studio.db-journal"));
    let mut spoilt = ZEROS;
    spoilt[3000] = 1;
    for (bytes, journaled) in [
        (&ZEROS, None),
        (&ZEROS, Some(vec![0; 512])),
        (&ZEROS, Some(journal_of(1))),
        (&ZEROS, Some(journal_of(0)[..18].to_vec())),
        (&spoilt, Some(journal_of(0))),
    ] {
        std::fs::write(&path, bytes).unwrap();
        if let Some(journaled) = &journaled {
            std::fs::write(&journal, journaled).unwrap();
        }
        let refused = Store::open(&Address::File(path.clone())).await.unwrap_err();
        assert!(matches!(refused, StoreError::NotOurs(_)), "{refused}");
        assert!(std::fs::read(&path).unwrap() == bytes, "every byte as it was");
        assert_eq!(std::fs::read(&journal).ok(), journaled);
    }
    std::fs::write(&path, ZEROS).unwrap();
    std::fs::write(&journal, journal_of(0)).unwrap();
    let store = Store::open(&Address::File(path)).await.unwrap();
    measured(&store, "The first").await;
    assert!(store.check().await.unwrap().faults.is_empty());
    store.close().await;
    assert!(!journal.exists());
}

/// As a killed server leaves it: the file damaged, its journal full. Neither is touched, whatever is wrong with the file.
#[tokio::test]
async fn the_journal_of_a_file_that_is_refused_stays_too() {
    let (folder, path) = closed().await;
    let store = Store::open(&Address::File(path.clone())).await.unwrap();
    measured(&store, "In the journal").await;
    for what in ["damaged", "newer"] {
        let left = folder.path().join(format!("{what}.db"));
        let mut bytes = std::fs::read(&path).unwrap();
        if what == "damaged" {
            bytes[4096 * 3..].fill(0xa5);
        }
        std::fs::write(&left, &bytes).unwrap();
        let journal = folder.path().join(format!("{what}.db-wal"));
        std::fs::copy(path.with_extension("db-wal"), &journal).unwrap();
        let entries = std::fs::read(&journal).unwrap();
        assert!(entries.len() > 4096, "there is something in the journal");
        if what == "newer" {
            // written into the journal, as the newer program would have left it
            let sql = "PRAGMA wal_autocheckpoint=0; INSERT INTO studio_schema (version, program) VALUES (999, '9.8.7')";
            let mut newer =
                sqlx::AnyConnection::connect(&format!("sqlite://{}", left.display())).await.unwrap();
            sqlx::raw_sql(sql).execute(&mut newer).await.unwrap();
            let (file, full) = (std::fs::read(&left).unwrap(), std::fs::read(&journal).unwrap());
            let refused = Store::open(&Address::File(left.clone())).await.unwrap_err();
            assert!(matches!(refused, StoreError::Newer { .. }), "{refused}");
            assert!(
                std::fs::read(&left).unwrap() == file && std::fs::read(&journal).unwrap() == full,
                "{what}"
            );
            newer.close().await.unwrap();
            continue;
        }
        assert!(Store::open(&Address::File(left.clone())).await.is_err(), "{what}");
        assert!(std::fs::read(&left).unwrap() == bytes, "{what}: the file was changed");
        assert!(std::fs::read(&journal).is_ok_and(|left| left == entries), "{what}: the journal was changed");
    }
}

/// How many files are damaged.
const DAMAGED: &str = "LENGTHWISE_DAMAGED";
const USUALLY_DAMAGED: usize = 240;

/// A byte, a page or the end of the file at many places, or a journal that is not its own beside it: never a panic; either
/// the damage is found and every byte of the file and its journal left as it was, or the studio is whole.
#[tokio::test]
#[expect(clippy::print_stdout, reason = "the counts are part of the proof")]
async fn damage_is_found_or_harmless_and_nothing_is_made_worse() {
    let (_folder, path) = closed().await;
    let whole = std::fs::read(&path).unwrap();
    let foreign = foreign_journal().await;
    let damaged = size(DAMAGED, USUALLY_DAMAGED);
    let (mut found, mut by_kind) = (0, [0; 4]);
    for trial in 0..damaged {
        let (mut bytes, mut journal) = (whole.clone(), None);
        // spread over the file by a multiplier prime to its length
        let at = trial.wrapping_mul(7919 * 31) % bytes.len();
        let kind = trial % 4;
        match kind {
            0 => bytes[at] ^= 1 << (trial / 4 % 8),
            1 => {
                let page = at / 4096 * 4096;
                let end = (page + 4096).min(bytes.len());
                bytes[page..end].fill(0);
            }
            // cut to nothing it cannot be told from a studio whose making was cut off
            2 => bytes.truncate((at / 512 * 512).max(512)),
            // of another studio: whole, cut off, or with a byte turned
            _ => {
                let mut other = foreign.clone();
                let at = trial.wrapping_mul(7919 * 31) % other.len();
                match trial / 4 % 3 {
                    0 => {}
                    1 => other.truncate(at),
                    _ => other[at] ^= 0xff,
                }
                journal = Some(other);
            }
        }
        let folder = folder_in_memory();
        let path = folder.path().join("studio.db");
        std::fs::write(&path, &bytes).unwrap();
        let beside = path.with_extension("db-wal");
        if let Some(journal) = &journal {
            std::fs::write(&beside, journal).unwrap();
        }
        match Store::open(&Address::File(path.clone())).await {
            Ok(store) => {
                // what opens is read without a panic, and nobody is lost; a byte in a text is no fault of the file's
                drop(store.check().await);
                assert_eq!(store.count_golfers().await.unwrap(), 20, "trial {trial}");
                store.close().await;
            }
            Err(error) => {
                found += 1;
                by_kind[kind] += 1;
                assert!(!error.hint().is_empty());
                assert!(
                    std::fs::read(&path).unwrap() == bytes,
                    "trial {trial}: {error}: the file was changed"
                );
                if let Some(journal) = &journal {
                    assert!(
                        std::fs::read(&beside).unwrap() == *journal,
                        "trial {trial}: {error}: the journal"
                    );
                }
            }
        }
    }
    println!(
        "{damaged} damaged, {found} found (a bit, a page, an end, a journal: {by_kind:?}), the others whole"
    );
    assert!(found > damaged * 3 / 10, "only {found} of {damaged} damaged files were found");
}

/// The journal of another studio, as a killed server leaves it.
async fn foreign_journal() -> Vec<u8> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("studio.db");
    let store = Store::open(&Address::File(path.clone())).await.unwrap();
    for number in 0..3 {
        measured(&store, &format!("Somebody else {number}")).await;
    }
    std::fs::read(path.with_extension("db-wal")).unwrap()
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
