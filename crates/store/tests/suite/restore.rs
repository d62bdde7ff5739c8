//! Going back to a copy: the copy is verified first, nothing of what was there is lost, and a restore that is cut off is
//! told and finished by the next.

use crate::old_files::old_in_a_file;
use crate::place::{NOW, closed, id, measured};
use jiff::civil::{DateTime, date};
use std::path::Path;
use store::{Address, Newer, Photos, ServerLock, Store, StoreError, restore};
use studio::{Changes, GolferFile, Photo};

fn at(hour: i8) -> DateTime {
    date(2026, 11, 3).at(hour, 0, 0, 0)
}

/// A studio of twenty golfers and a photo, a copy of it, and a golfer who came after the copy.
async fn with_a_copy() -> (tempfile::TempDir, std::path::PathBuf, std::path::PathBuf) {
    let (folder, path) = closed().await;
    let address = Address::File(path.clone());
    let photos = Photos::of(&address).unwrap();
    photos.put(&id(), b"before").unwrap();
    let store = Store::open(&address).await.unwrap();
    let copy = store.backup(None, at(9)).await.unwrap().path;
    measured(&store, "Came later").await;
    store.close().await;
    photos.put(&id(), b"after").unwrap();
    (folder, path, copy)
}

fn photo_of(golfer: &GolferFile) -> Photo {
    Photo {
        id: id(),
        golfer: golfer.id.clone(),
        club: None,
        caption: None,
        bytes: 9,
        width: 1,
        height: 1,
        by: "I. F.".to_owned(),
        at_ms: NOW,
        removed: false,
    }
}

async fn golfers(path: &Path) -> i64 {
    let store = Store::open(&Address::File(path.to_owned())).await.unwrap();
    let count = store.count_golfers().await.unwrap();
    store.close().await;
    count
}

#[tokio::test]
async fn a_copy_comes_back_and_what_was_there_is_set_aside() {
    let (_folder, path, copy) = with_a_copy().await;
    let restored = restore(&Address::File(path.clone()), &copy, at(10)).await.unwrap();
    assert_eq!(restored.counts, [20, 120, 0]);
    assert_eq!(restored.photos, 1);
    assert!(matches!(restored.newer, Newer::Entries(1, _)), "{:?}", restored.newer);
    assert_eq!(golfers(&path).await, 20);
    let aside = restored.set_aside.unwrap();
    assert_eq!(golfers(&aside.join("studio.db")).await, 21, "with the one who came later");
    assert_eq!(std::fs::read_dir(aside.join("photos")).unwrap().count(), 2);
    // and forth again: what was set aside is closed and whole
    let back = restore(&Address::File(path.clone()), &aside.join("studio.db"), at(11)).await.unwrap();
    assert_eq!((back.counts[0], back.photos), (21, 2));
    assert_eq!(back.newer, Newer::Nothing);
}

/// A picture whose record the copy does not have stays, as another studio of the folder may have it, and goes with its
/// golfer.
#[tokio::test]
async fn pictures_taken_after_the_copy_go_with_their_golfer() {
    let (_folder, path, copy) = with_a_copy().await;
    let address = Address::File(path.clone());
    let store = Store::open(&address).await.unwrap();
    let golfers = store.search("", 10).await.unwrap();
    let mut of_the_copy = golfers.iter().map(|hit| &hit.golfer).filter(|golfer| golfer.name != "Came later");
    let [golfer, other] = [of_the_copy.next().unwrap(), of_the_copy.next().unwrap()];
    let photos = Photos::of(&address).unwrap();
    let [photo, of_another] = [golfer, other].map(photo_of);
    for taken in [&photo, &of_another] {
        photos.put(&taken.id, b"of a record").unwrap();
        store.save(Changes::new(id(), "I. F.", "A photo").with_new(taken.clone()), NOW).await.unwrap();
    }
    store.close().await;
    drop(store);
    let aside = restore(&address, &copy, at(10)).await.unwrap().set_aside.unwrap();
    let there = Photos::of(&Address::File(aside.join("studio.db"))).unwrap();
    assert_eq!(there.get(&photo.id).unwrap(), b"of a record");
    assert!(photos.get(&photo.id).is_some() && photos.get(&of_another.id).is_some());
    let store = Store::open(&address).await.unwrap();
    store.forget(&golfer.id, id(), "I. F.", NOW + 1).await.unwrap();
    assert_eq!(photos.get(&photo.id), None);
    assert!(photos.get(&of_another.id).is_some());
    store.close().await;
}

#[tokio::test]
async fn what_was_set_aside_is_not_written_over_in_the_same_moment() {
    let (_folder, path, copy) = with_a_copy().await;
    let mut set_aside = Vec::new();
    for _ in 0..3 {
        let restored = restore(&Address::File(path.clone()), &copy, at(10)).await.unwrap();
        set_aside.push(restored.set_aside.unwrap());
    }
    let mut counts = Vec::new();
    for folder in &set_aside {
        counts.push(golfers(&folder.join("studio.db")).await);
    }
    assert_eq!(counts, [21, 20, 20], "{set_aside:?}");
}

#[tokio::test]
async fn a_copy_that_does_not_verify_changes_nothing() {
    let (folder, path, copy) = with_a_copy().await;
    let before = std::fs::read(&path).unwrap();
    let bytes = std::fs::read(&copy).unwrap();
    let half = folder.path().join("half.db");
    std::fs::write(&half, &bytes[..bytes.len() / 2]).unwrap();
    let letter = folder.path().join("letter.db");
    std::fs::write(&letter, "a letter, longer than a header is").unwrap();
    for bad in [half, letter, folder.path().join("none.db"), path.clone()] {
        let refused = restore(&Address::File(path.clone()), &bad, at(10)).await;
        assert!(refused.is_err(), "{}", bad.display());
    }
    // a photo that is not as the manifest has it
    let photos = copy.with_extension("photos");
    let picture = std::fs::read_dir(&photos)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .find(|path| path.extension().is_some_and(|extension| extension == "jpg"))
        .unwrap();
    std::fs::write(&picture, "another").unwrap();
    let refused = restore(&Address::File(path.clone()), &copy, at(10)).await.unwrap_err();
    assert!(refused.to_string().contains("is damaged"), "{refused}");
    assert!(std::fs::read(&path).unwrap() == before, "every byte as it was");
    assert!(!path.with_file_name("studio.db.coming-back").exists());
}

/// A copy an older version made comes back and is upgraded; the studio in its place is not, whatever version it is of.
#[tokio::test]
async fn an_old_copy_comes_back() {
    let (_folder, path, _copy) = with_a_copy().await;
    let elsewhere = tempfile::tempdir().unwrap();
    let old = old_in_a_file(&elsewhere).await;
    let restored = restore(&Address::File(path.clone()), &old, at(10)).await.unwrap();
    assert_eq!(restored.counts, [1, 13, 1]);
    assert_eq!(restored.missing_photos, 1, "its picture is not part of it");
    assert!(matches!(restored.newer, Newer::Entries(21, _)), "{:?}", restored.newer);
    let aside = restored.set_aside.unwrap().join("studio.db");
    // and an old studio is set aside as it is
    std::fs::copy(&old, &path).unwrap();
    let bytes = std::fs::read(&path).unwrap();
    let back = restore(&Address::File(path), &aside, at(11)).await.unwrap();
    assert!(std::fs::read(back.set_aside.unwrap().join("studio.db")).unwrap() == bytes);
}

#[tokio::test]
async fn a_studio_that_is_served_is_not_replaced() {
    let (_folder, path, copy) = with_a_copy().await;
    let address = Address::File(path);
    let mut lock = ServerLock::take(&address).unwrap().unwrap();
    lock.sign("http://127.0.0.1:1234").unwrap();
    assert!(matches!(restore(&address, &copy, at(10)).await, Err(StoreError::Served(_))));
}

#[tokio::test]
async fn a_damaged_studio_is_named_with_the_copy_that_brings_it_back() {
    let (_folder, path, copy) = with_a_copy().await;
    let mut bytes = std::fs::read(&path).unwrap();
    for page in bytes.chunks_mut(4096).skip(1).step_by(2) {
        page.fill(0);
    }
    std::fs::write(&path, &bytes).unwrap();
    let refused = Store::open(&Address::File(path.clone())).await.unwrap_err();
    let copy_name = copy.file_name().unwrap().to_str().unwrap();
    assert!(
        refused.hint().contains("lengthwise restore") && refused.hint().contains(copy_name),
        "{}",
        refused.hint()
    );
    let restored = restore(&Address::File(path.clone()), &copy, at(10)).await.unwrap();
    assert!(matches!(restored.newer, Newer::Unreadable(_)), "{:?}", restored.newer);
    assert!(
        std::fs::read(restored.set_aside.unwrap().join("studio.db")).unwrap() == bytes,
        "set aside as it lay"
    );
    assert_eq!(golfers(&path).await, 20);
}

/// Cut off after each step, a restore is either not begun, told as cut off, or done; the next one finishes it, and
/// nothing is lost of what was there.
#[tokio::test]
async fn a_restore_that_was_cut_off_is_told_and_finished() {
    for step in 0..4 {
        let (_folder, path, copy) = with_a_copy().await;
        let address = Address::File(path.clone());
        let aside = path.with_file_name("set-aside-20261103-100000-000");
        // what the steps do, one after another: set the pictures aside, lay the copy ready, move the file, move its journal
        std::fs::create_dir_all(aside.join("photos")).unwrap();
        std::fs::write(path.with_file_name("studio.db-wal"), "").unwrap();
        if step > 0 {
            std::fs::copy(&copy, path.with_file_name("studio.db.coming-back")).unwrap();
        }
        if step > 1 {
            std::fs::rename(&path, aside.join("studio.db")).unwrap();
        }
        if step > 2 {
            std::fs::rename(path.with_file_name("studio.db-wal"), aside.join("studio.db-wal")).unwrap();
        }
        if step < 2 {
            assert_eq!(golfers(&path).await, 21, "step {step}: the old studio stands");
        } else {
            let refused = Store::open(&address).await.unwrap_err();
            assert!(matches!(refused, StoreError::HalfRestored(_)), "step {step}: {refused}");
            assert!(!path.exists(), "step {step}: no new studio is made over it");
        }
        let restored = restore(&address, &copy, at(11)).await.unwrap();
        assert_eq!((restored.counts[0], restored.photos), (20, 1), "step {step}");
        assert!(matches!(restored.newer, Newer::Entries(1, _)), "step {step}: {:?}", restored.newer);
        let set_aside = restored.set_aside.unwrap();
        assert_eq!(set_aside == aside, step > 1, "step {step}: the same is gone on with");
        assert_eq!(golfers(&set_aside.join("studio.db")).await, 21, "step {step}");
        assert_eq!(golfers(&path).await, 20, "step {step}");
        assert!(!path.with_file_name("studio.db.coming-back").exists());
    }
}

/// While anybody has it open, by whatever command, no other file is put in its place.
#[tokio::test]
async fn a_studio_that_is_open_is_not_replaced() {
    let (_folder, path, copy) = with_a_copy().await;
    let address = Address::File(path);
    let open = Store::open(&address).await.unwrap();
    assert!(matches!(restore(&address, &copy, at(10)).await, Err(StoreError::Served(_))));
    open.close().await;
    drop(open);
    restore(&address, &copy, at(10)).await.unwrap();
}
