//! What can still be read of a damaged file comes out; what cannot is named; the file itself stays as it lay.

use crate::place::{NOW, closed, id, run};
use std::path::Path;
use store::{Address, Salvaged, Store, StoreError, salvage};
use studio::Changes;

async fn salvaged(path: &Path) -> (Salvaged, Store) {
    let to = path.with_file_name("salvaged.db");
    drop(std::fs::remove_file(&to));
    let before = std::fs::read(path).unwrap();
    let salvaged = salvage(&Address::File(path.to_owned()), &to).await.unwrap();
    assert!(std::fs::read(path).unwrap() == before, "every byte as it was");
    assert!(!to.with_extension("salvage.partial").exists());
    (salvaged, Store::open(&Address::File(to)).await.unwrap())
}

#[tokio::test]
async fn a_whole_studio_comes_out_whole() {
    let (_folder, path) = closed().await;
    let store = Store::open(&Address::File(path.clone())).await.unwrap();
    let (log, dossiers) = (store.log(None, 100).await.unwrap(), store.everything().await.unwrap().dossiers);
    store.close().await;
    let (salvaged, new) = salvaged(&path).await;
    assert_eq!(salvaged, Salvaged { counts: [20, 120, 0], from_history: 0, lost: Vec::new() });
    assert_eq!(new.log(None, 100).await.unwrap(), log);
    assert_eq!(new.everything().await.unwrap().dossiers, dossiers);
    // and it goes on as a studio
    let golfer = dossiers[0].golfer.clone();
    let renamed = studio::GolferFile { name: "Renamed".to_owned(), ..golfer.record };
    new.save(Changes::new(id(), "I. F.", "Renamed").with_changed(renamed, golfer.revision), NOW)
        .await
        .unwrap();
}

/// Every table of records emptied, the history left: everything comes out of it.
#[tokio::test]
async fn a_record_that_is_lost_comes_out_of_the_history() {
    let (_folder, path) = closed().await;
    let store = Store::open(&Address::File(path.clone())).await.unwrap();
    // a reading taken back and brought back stands where it stood: the last of a list is the one that counts
    let golfer = store.search("Golfer 7", 1).await.unwrap().remove(0).golfer;
    let reading = store.dossier(&golfer.id).await.unwrap().readings[0].record.clone();
    for (removed, seen) in [(true, 1), (false, 2)] {
        let changed = studio::Reading { removed, ..reading.clone() };
        store.save(Changes::new(id(), "I. F.", "Back").with_changed(changed, seen), NOW).await.unwrap();
    }
    let dossiers = store.everything().await.unwrap().dossiers;
    store.close().await;
    run(&path, "PRAGMA foreign_keys=OFF; DELETE FROM reading; DELETE FROM club; DELETE FROM golfer").await;
    let (salvaged, new) = salvaged(&path).await;
    assert_eq!(salvaged.counts, [20, 120, 0]);
    assert_eq!(salvaged.from_history, 160);
    let without_places = |dossiers: Vec<studio::Dossier>| -> Vec<_> {
        dossiers.into_iter().map(|dossier| (dossier.golfer, dossier.readings, dossier.clubs)).collect()
    };
    assert_eq!(without_places(new.everything().await.unwrap().dossiers), without_places(dossiers));
}

/// A page in four is gone, at every offset: what is left comes out, what is not is named, and the new file is whole.
#[tokio::test]
async fn what_pages_are_left_comes_out() {
    let (_folder, path) = closed().await;
    let whole = std::fs::read(&path).unwrap();
    let mut golfers = 0;
    for offset in 0..4 {
        let mut bytes = whole.clone();
        for page in bytes.chunks_mut(4096).skip(1 + offset).step_by(4) {
            if !names_tables(page) {
                page.fill(0xa5);
            }
        }
        std::fs::write(&path, &bytes).unwrap();
        assert!(Store::open(&Address::File(path.clone())).await.is_err());
        let (salvaged, new) = salvaged(&path).await;
        assert!(!salvaged.lost.is_empty());
        assert!(new.check().await.unwrap().faults.is_empty());
        golfers += salvaged.counts[0];
        new.close().await;
    }
    assert!(golfers > 40, "only {golfers} of 80 came out");
}

/// Without the list of its tables nothing of a file can be found: it is told, with the copy to go back to.
#[tokio::test]
async fn a_file_without_its_list_of_tables_is_told() {
    let (_folder, path) = closed().await;
    let mut bytes = std::fs::read(&path).unwrap();
    for page in bytes.chunks_mut(4096).skip(1).filter(|page| names_tables(page)) {
        page.fill(0xa5);
    }
    std::fs::write(&path, &bytes).unwrap();
    let refused = salvage(&Address::File(path.clone()), &path.with_file_name("new.db")).await.unwrap_err();
    assert!(refused.to_string().contains("its list of tables cannot be read"), "{refused}");
    assert!(!path.with_file_name("new.db").exists());
}

fn names_tables(page: &[u8]) -> bool {
    page.windows(7).any(|part| part == b"CREATE ")
}

#[tokio::test]
async fn a_damaged_definition_is_mended() {
    let (_folder, path) = closed().await;
    let mut bytes = std::fs::read(&path).unwrap();
    let at = bytes.windows(9).position(|part| part == b"typed TEX").unwrap();
    bytes[at + 6] = 0xff;
    std::fs::write(&path, &bytes).unwrap();
    let refused = Store::open(&Address::File(path.clone())).await.unwrap_err();
    assert!(matches!(refused, StoreError::Damaged { .. }), "{refused}");
    let (salvaged, _new) = salvaged(&path).await;
    assert_eq!(salvaged.counts, [20, 120, 0]);
}

#[tokio::test]
async fn nothing_of_a_studio_is_told_as_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("studio.db");
    std::fs::write(&path, "a letter, longer than a header is").unwrap();
    let to = folder.path().join("new.db");
    assert!(matches!(salvage(&Address::File(path), &to).await, Err(StoreError::NotOurs(_))));
    assert!(!to.exists());
}
