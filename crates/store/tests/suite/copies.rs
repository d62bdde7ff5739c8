//! Copies: verified, with their photos, made when a day asks for them, and whole while others write.

use crate::place::{NOW, id, measured, sqlite};
use jiff::civil::date;
use sha2::{Digest, Sha256};
use store::{Address, Photos, Store};
use studio::Changes;

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
    assert!(
        first.path.to_str().unwrap().ends_with("a studio with ?, % and ü-20261103-090000-000-day.db"),
        "{:?}",
        first.path
    );
    assert_eq!(place.store.backup_when_due(at(10), false).await.unwrap(), None);
    measured(&place.store, "Later").await;
    let second = place.store.backup_when_due(at(11), true).await.unwrap().unwrap();
    assert_eq!(second.counts, [2, 12, 0]);
    let copy = Store::open(&Address::File(first.path)).await.unwrap();
    assert_eq!(copy.count_golfers().await.unwrap(), 1);
}

/// A form sent twice takes two copies at the same moment: each has a name of its own, and the studio goes on.
#[tokio::test(flavor = "multi_thread")]
async fn copies_asked_for_at_the_same_moment_do_not_meet() {
    let place = sqlite().await;
    let (file, _) = measured(&place.store, "Kept").await;
    let at = date(2026, 11, 3).at(9, 0, 0, 0);
    let asked: Vec<_> = (0..8)
        .map(|_| {
            let store = place.store.clone();
            tokio::spawn(async move { store.backup_before_import(at).await })
        })
        .collect();
    let mut paths = Vec::new();
    for copy in asked {
        let copy = copy.await.unwrap().unwrap().unwrap();
        assert_eq!(copy.counts, [1, 6, 0]);
        paths.push(copy.path);
    }
    paths.sort();
    paths.dedup();
    assert_eq!(paths.len(), 8);
    assert_eq!(place.store.stopped(), None);
    let renamed = studio::GolferFile { name: "Later".to_owned(), ..file };
    place.store.save(Changes::new(id(), "I. F.", "Renamed").with_changed(renamed, 1), NOW).await.unwrap();
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

#[tokio::test]
async fn the_photos_go_along_with_their_digests() {
    let place = sqlite().await;
    measured(&place.store, "Kept").await;
    let photos = Photos::of(&place.address).unwrap();
    let (one, other) = (id(), id());
    photos.put(&one, b"the ferrule").unwrap();
    photos.put(&other, b"the hosel").unwrap();
    let day = place.store.backup_when_due(date(2026, 11, 3).at(9, 0, 0, 0), false).await.unwrap().unwrap();
    assert_eq!(day.photos, 2);
    let beside = day.path.with_extension("photos");
    assert_eq!(std::fs::read(beside.join(format!("{one}.jpg"))).unwrap(), b"the ferrule");
    // the form every `sha256sum --check` reads: the digest, two spaces, the name
    let manifest = std::fs::read_to_string(beside.join("manifest.sha256")).unwrap();
    let digest: String = Sha256::digest(b"the hosel").iter().map(|byte| format!("{byte:02x}")).collect();
    assert!(manifest.contains(&format!("{digest}  {other}.jpg\n")), "{manifest}");
    // the hour's copy shares its pictures with the studio, the day's has its own
    measured(&place.store, "Later").await;
    let hour = place.store.backup_when_due(date(2026, 11, 3).at(11, 0, 0, 0), true).await.unwrap().unwrap();
    assert_eq!(hour.photos, 2);
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let names =
            |folder: &std::path::Path| std::fs::metadata(folder.join(format!("{one}.jpg"))).unwrap().nlink();
        assert_eq!(names(&beside), 1);
        assert_eq!(names(&hour.path.with_extension("photos")), 2);
    }
}

#[tokio::test]
async fn a_photo_without_its_picture_is_a_fault_and_a_picture_without_a_photo_a_note() {
    let place = sqlite().await;
    let (file, _) = measured(&place.store, "Kept").await;
    let photo = studio::Photo {
        id: id(),
        golfer: file.id.clone(),
        club: None,
        caption: None,
        bytes: 9,
        width: 3,
        height: 3,
        by: "I. F.".to_owned(),
        at_ms: NOW,
        removed: false,
    };
    let kept = Changes::new(id(), "I. F.", "A photo").with_new(photo.clone());
    place.store.save(kept, NOW).await.unwrap();
    let checked = place.store.check().await.unwrap();
    assert_eq!(checked.missing_photos, std::slice::from_ref(&photo.id));
    let photos = Photos::of(&place.address).unwrap();
    let stray = id();
    photos.put(&photo.id, b"picture").unwrap();
    photos.put(&stray, b"stray").unwrap();
    let checked = place.store.check().await.unwrap();
    assert!(checked.missing_photos.is_empty());
    assert_eq!(checked.notes, [format!("photos/{stray}.jpg belongs to no photo that is kept")]);
}

/// Two studios in one folder have copies of their own, and the one is never brought back as the other.
#[tokio::test]
async fn studios_of_one_folder_keep_their_copies_apart() {
    let folder = tempfile::tempdir().unwrap();
    let now = date(2026, 11, 3).at(9, 0, 0, 0);
    for name in ["one.db", "other.sqlite"] {
        let store = Store::open(&Address::File(folder.path().join(name))).await.unwrap();
        measured(&store, name).await;
        let day = store.backup_when_due(now, false).await.unwrap();
        assert!(day.is_some(), "{name} has its copy of the day");
        store.close().await;
    }
    let other = folder.path().join("other.sqlite");
    let mut bytes = std::fs::read(&other).unwrap();
    bytes[4096..].fill(0xa5);
    std::fs::write(&other, bytes).unwrap();
    let refused = Store::open(&Address::File(other)).await.unwrap_err();
    assert!(refused.hint().contains("other.sqlite-20261103-090000-000-day.db"), "{}", refused.hint());
}

#[tokio::test]
async fn what_was_left_half_written_is_cleared_away() {
    let place = sqlite().await;
    place.store.close().await;
    let Address::File(path) = &place.address else { unreachable!() };
    for folder in ["photos", "backups"] {
        std::fs::create_dir_all(path.with_file_name(folder)).unwrap();
        std::fs::write(path.with_file_name(folder).join("young.partial"), "another is at it").unwrap();
        let old = path.with_file_name(folder).join("half.partial");
        std::fs::write(&old, "half").unwrap();
        let written = std::fs::metadata(&old).unwrap().modified().unwrap();
        let yesterday = written - std::time::Duration::from_secs(86_400);
        std::fs::File::options().write(true).open(&old).unwrap().set_modified(yesterday).unwrap();
    }
    Store::open(&place.address).await.unwrap();
    for folder in ["photos", "backups"] {
        let left: Vec<_> = std::fs::read_dir(path.with_file_name(folder)).unwrap().collect();
        assert_eq!(left.len(), 1, "{folder}");
        assert_eq!(left[0].as_ref().unwrap().file_name(), "young.partial");
    }
}
