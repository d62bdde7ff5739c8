//! Forgetting a golfer: no word of theirs is left in any file, what was paid stays, and no copy brings them back.

use crate::kills::say;
use crate::place::{NOW, every_place, folder_in_memory, golfer, id, measured, reading};
use jiff::civil::{date, datetime};
use std::path::{Path, PathBuf};
use store::{Address, Photos, Refusal, Store, StoreError, restore};
use studio::{
    Accepted, Changes, Field, FollowUp, GolferFile, JobFile, JobState, Kept, Money, OwnedClub, Photo, Quote,
    QuoteLine, Record, Remark, Share, Tick, Visit, Work,
};

/// A word that stands nowhere else.
fn planted(place: usize) -> String {
    format!("Quokka{place:02}word")
}

/// Every field a golfer's words can stand in, filled with a word of its own.
fn everything(of: &GolferFile, agreed: bool) -> (Vec<Record>, usize) {
    let mut place = 0;
    let mut word = || {
        place += 1;
        planted(place)
    };
    let job = id();
    let line = |what: String| QuoteLine { what, count: 2, each: Money::cents(1250) };
    let quote = Quote {
        currency: "EUR".to_owned(),
        labour: vec![line("extend".to_owned())],
        parts: Vec::new(),
        discount: Share::default(),
        rush: Share::default(),
        to_the_minimum: Money::cents(0),
        tax: Share::default(),
        deposit: Share::default(),
        made: date(2026, 11, 20),
        valid_until: date(2026, 12, 20),
        accepted: agreed.then(|| Accepted { day: date(2026, 11, 21), how: word() }),
    };
    let at = NOW;
    let records = vec![
        Record::Club(OwnedClub { name: word(), ..crate::place::club(of, "x") }),
        Record::Job(JobFile {
            id: job.clone(),
            golfer: of.id.clone(),
            number: 0,
            state: JobState::Ready,
            since_ms: at,
            cured_ms: None,
            note: Some(word()),
            card: format!("[golfer]\nname = \"{}\"\n", word()),
            work: Work::default(),
            made_ms: at,
            quote: Some(quote),
            uses: Vec::new(),
            promised: None,
            removed: false,
        }),
        Record::Visit(Visit {
            id: id(),
            golfer: of.id.clone(),
            day: date(2026, 11, 20),
            about: Some(word()),
            by: word(),
            at_ms: at,
            removed: false,
        }),
        Record::Reading(studio::Reading {
            typed: word(),
            by: word(),
            ..reading(of, None, Field::Stature, "73")
        }),
        Record::Remark(Remark {
            id: id(),
            golfer: of.id.clone(),
            text: word(),
            health_consent: None,
            by: word(),
            at_ms: at,
            removed: false,
        }),
        Record::Remark(Remark {
            id: id(),
            golfer: of.id.clone(),
            text: word(),
            health_consent: Some(date(2026, 11, 20)),
            by: word(),
            at_ms: at,
            removed: false,
        }),
        Record::FollowUp(FollowUp {
            id: id(),
            golfer: of.id.clone(),
            job: None,
            due: date(2026, 12, 10),
            what: Some(word()),
            done: Some(date(2026, 12, 11)),
            found: Some(word()),
            removed: false,
        }),
        Record::Photo(Photo {
            id: id(),
            golfer: of.id.clone(),
            club: None,
            caption: Some(word()),
            bytes: 9,
            width: 1,
            height: 1,
            by: word(),
            at_ms: at,
            removed: false,
        }),
        Record::Tick(Tick {
            id: id(),
            golfer: of.id.clone(),
            job,
            step: "1.1".to_owned(),
            done: true,
            typed: Some(word()),
            value_si: None,
            by: word(),
            at_ms: at,
            removed: false,
        }),
    ];
    (records, place)
}

/// Opens a golfer's file with everything in it; gives how many words were planted.
async fn filled(store: &Store, agreed: bool) -> (GolferFile, usize) {
    let of = GolferFile {
        name: planted(90),
        contact: Some(planted(91)),
        overruled: Some(planted(92)),
        born: Some(date(1979, 5, 2)),
        ..golfer("x")
    };
    let (records, count) = everything(&of, agreed);
    let opened = Changes::new(id(), &planted(93), planted(94)).with_new(of.clone());
    store.save(opened, NOW).await.unwrap();
    for record in records {
        let picture = match &record {
            Record::Photo(photo) => Some(photo.id.clone()),
            _ => None,
        };
        let changes = Changes::new(id(), "fitter", planted(95)).with_new(record);
        store.save(changes, NOW).await.unwrap();
        if let (Some(photo), Some(folder)) = (picture, Photos::of(store.address())) {
            folder.put(&photo, planted(96).as_bytes()).unwrap();
        }
    }
    (of, count)
}

fn files_below(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    entries
        .flat_map(|entry| if entry.path().is_dir() { files_below(&entry.path()) } else { vec![entry.path()] })
        .collect()
}

fn words_in(folder: &Path) -> Vec<String> {
    let said = |file: PathBuf| {
        let bytes = std::fs::read(&file).unwrap();
        bytes.windows(6).any(|part| part == b"Quokka").then(|| file.display().to_string())
    };
    files_below(folder).into_iter().filter_map(said).collect()
}

#[tokio::test]
async fn no_file_holds_a_word_of_a_golfer_who_was_forgotten() {
    for agreed in [false, true] {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&Address::File(folder.path().join("studio.db"))).await.unwrap();
        let (other, _) = measured(&store, "Stays Here").await;
        let (of, count) = filled(&store, agreed).await;
        assert!(count >= 15, "{count} words");
        assert!(!words_in(folder.path()).is_empty(), "they were there");
        let forgotten = store.forget(&of.id, id(), "fitter", NOW + 1).await.unwrap();
        assert_eq!(forgotten.kept_jobs.len(), usize::from(agreed));
        assert_eq!(words_in(folder.path()), Vec::<String>::new());
        assert!(store.check().await.unwrap().faults.is_empty());
        assert!(store.dossier(&other.id).await.is_ok());
        assert!(store.search("quokka", 10).await.unwrap().is_empty());
        store.close().await;
        assert_eq!(words_in(folder.path()), Vec::<String>::new(), "nor once it is closed");
    }
}

#[tokio::test]
async fn what_was_agreed_keeps_its_amounts_and_its_number() {
    for place in every_place().await {
        let store = &place.store;
        let (of, _) = filled(store, true).await;
        let before = store.dossier(&of.id).await.unwrap().jobs[0].record.clone();
        let shown = store.forgetting(&of.id).await.unwrap();
        assert_eq!(shown.name, planted(90));
        assert_eq!(shown.kept_jobs, [before.number]);
        store.forget(&of.id, id(), "fitter", NOW + 1).await.unwrap();
        let after = store.dossier(&of.id).await.unwrap();
        assert!(after.golfer.record.is_erased());
        let job = &after.jobs[0].record;
        assert_eq!((job.number, job.state, job.made_ms), (before.number, before.state, before.made_ms));
        let money = |job: &JobFile| job.quote.as_ref().map(|quote| quote.labour.clone());
        assert_eq!(money(job), money(&before));
        assert_eq!((job.note.as_ref(), job.card.as_str()), (None, ""));
        assert!(after.clubs.is_empty() && after.readings.is_empty() && after.remarks.is_empty());
        // an act that comes late makes nothing of them again
        let late = Changes::new(id(), "fitter", "late").with_new(reading(&of, None, Field::Stature, "74"));
        assert!(matches!(store.save(late, NOW + 2).await, Err(StoreError::Refused(Refusal::NotThere))));
    }
}

#[tokio::test]
async fn one_of_whom_nothing_was_agreed_is_gone_whole() {
    for place in every_place().await {
        let (of, _) = filled(&place.store, false).await;
        place.store.forget(&of.id, id(), "fitter", NOW + 1).await.unwrap();
        assert!(place.store.dossier(&of.id).await.is_err());
        assert!(place.store.forget(&of.id, id(), "fitter", NOW + 2).await.is_err(), "once is enough");
        let log = place.store.log(None, 100).await.unwrap();
        assert!(log.iter().all(|line| !line.sentence.contains("Quokka")));
    }
}

#[tokio::test]
async fn a_copy_does_not_bring_them_back() {
    let folder = tempfile::tempdir().unwrap();
    let address = Address::File(folder.path().join("studio.db"));
    let store = Store::open(&address).await.unwrap();
    let (of, _) = filled(&store, false).await;
    let now = datetime(2026, 11, 28, 12, 0, 0, 0);
    let copy = store.backup(None, now).await.unwrap().path;
    store.forget(&of.id, id(), "fitter", NOW + 1).await.unwrap();
    store.close().await;
    drop(store);
    let set_aside = restore(&address, &copy, now).await.unwrap().set_aside.unwrap();
    let store = Store::open(&address).await.unwrap();
    assert!(store.dossier(&of.id).await.is_err());
    // what was set aside nothing of ours touches: whoever forgets is told where it lies
    let (other, _) = measured(&store, "Stays Here").await;
    assert_eq!(store.forgetting(&other.id).await.unwrap().set_aside, [set_aside]);
    assert!(!words_in(folder.path()).iter().any(|file| file.ends_with("studio.db")));
    store.close().await;
}

#[tokio::test]
async fn a_wish_that_was_written_down_is_carried_out_when_it_is_opened() {
    let folder = tempfile::tempdir().unwrap();
    let address = Address::File(folder.path().join("studio.db"));
    let store = Store::open(&address).await.unwrap();
    let (of, _) = filled(&store, false).await;
    store.close().await;
    // as after a power cut between the wish and the work
    std::fs::write(folder.path().join("studio.erased"), format!("{}\n", of.id)).unwrap();
    for _ in 0..2 {
        let store = Store::open(&address).await.unwrap();
        assert!(store.dossier(&of.id).await.is_err());
        store.close().await;
    }
    assert_eq!(words_in(folder.path()), Vec::<String>::new());
}

/// As after a power cut between the rows and the pictures: what is left of them goes when the studio is opened.
#[tokio::test]
async fn pictures_that_outlived_a_forgetting_go_when_it_is_opened() {
    let folder = tempfile::tempdir().unwrap();
    let address = Address::File(folder.path().join("studio.db"));
    let store = Store::open(&address).await.unwrap();
    let (of, _) = filled(&store, false).await;
    let photo = store.dossier(&of.id).await.unwrap().photos[0].record.id.clone();
    let photos = Photos::of(&address).unwrap();
    let (picture, other) = (photos.get(&photo).unwrap(), id());
    photos.put(&other, b"of nobody yet: its record is on its way").unwrap();
    store.forget(&of.id, id(), "fitter", NOW + 1).await.unwrap();
    store.close().await;
    photos.put(&photo, &picture).unwrap();
    let store = Store::open(&address).await.unwrap();
    assert_eq!(photos.get(&photo), None);
    assert!(photos.get(&other).is_some());
    store.close().await;
    assert_eq!(words_in(folder.path()), Vec::<String>::new());
}

const FORGETTER: &str = "LENGTHWISE_KILLED_FORGETTER";

/// The child that forgets one golfer after the other, until it is killed; in an ordinary run there is nothing to do.
#[test]
fn killed_forgetter() {
    let Ok(path) = std::env::var(FORGETTER) else { return };
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(async {
        let store = Store::open(&Address::File(path.into())).await.unwrap();
        for hit in store.search("", 10).await.unwrap() {
            store.forget(&hit.golfer.id, id(), "fitter", NOW + 1).await.unwrap();
        }
    });
}

/// Killed while golfers are forgotten, a studio holds each whole or not at all, and none whose forgetting was begun.
#[test]
fn a_golfer_is_there_whole_or_forgotten_whole_whenever_it_is_killed() {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    let mut cut_off = 0;
    let kills = crate::kills::kills();
    for kill in 0..u64::try_from(kills).unwrap() {
        let folder = folder_in_memory();
        let path = folder.path().join("studio.db");
        let address = Address::File(path.clone());
        let before = runtime.block_on(async {
            let store = Store::open(&address).await.unwrap();
            let mut before = Vec::new();
            for agreed in [false, true, false, true, false] {
                let (of, _) = filled(&store, agreed).await;
                before.push((store.dossier(&of.id).await.unwrap(), agreed));
            }
            store.close().await;
            before
        });
        let mut child =
            crate::kill_loop::child(FORGETTER, "forget::killed_forgetter", &path).spawn().unwrap();
        std::thread::sleep(std::time::Duration::from_millis(20 + kill * 53 % 240));
        child.kill().unwrap();
        child.wait().unwrap();
        let wishes = std::fs::read_to_string(path.with_extension("erased")).unwrap_or_default();
        let begun: Vec<&str> = wishes.lines().filter(|line| !line.starts_with("photo ")).collect();
        runtime.block_on(async {
            let store = Store::open(&address).await.unwrap();
            assert!(store.check().await.unwrap().faults.is_empty());
            for (dossier, agreed) in &before {
                let golfer = &dossier.golfer.record.id;
                let is_begun = begun.contains(&golfer.as_str());
                let pictures = Photos::of(&address).unwrap();
                let is_shown = |photo: &Kept<Photo>| pictures.get(&photo.record.id).is_some();
                assert!(dossier.photos.iter().all(|photo| is_shown(photo) != is_begun), "a picture");
                match store.dossier(golfer).await {
                    Ok(there) if there.golfer.record.is_erased() => assert!(is_begun && *agreed),
                    Ok(there) => assert!(!is_begun && there == *dossier),
                    Err(_) => assert!(is_begun && !agreed),
                }
            }
            if begun.len() == before.len() {
                assert_eq!(words_in(folder.path()), Vec::<String>::new(), "not even while it is open");
            }
            store.close().await;
        });
        cut_off += usize::from(!begun.is_empty() && begun.len() < before.len());
        if begun.len() == before.len() {
            assert_eq!(words_in(folder.path()), Vec::<String>::new());
        }
    }
    say(&format!("forgetting: {kills} kills, {cut_off} with some golfers forgotten and others not"));
    assert!(cut_off > 0, "no kill met a forgetting under way: the loop proves nothing");
}

/// Everything of a golfer beside remarks about health stays when the consent to those is taken back.
#[tokio::test]
async fn health_remarks_go_with_their_history_when_the_consent_is_taken_back() {
    let folder = tempfile::tempdir().unwrap();
    let address = Address::File(folder.path().join("studio.db"));
    let store = Store::open(&address).await.unwrap();
    let (of, _) = measured(&store, "Hale Again").await;
    let remark = |text: &str, is_health: bool| Remark {
        id: id(),
        golfer: of.id.clone(),
        text: text.to_owned(),
        health_consent: is_health.then(|| date(2026, 11, 20)),
        by: "fitter".to_owned(),
        at_ms: NOW,
        removed: false,
    };
    let keep = async |act: studio::Id, remark: Remark| {
        store.save(Changes::new(act, "fitter", "A remark").with_new(remark), NOW).await.unwrap();
    };
    let (plain, undone) = (remark("grips down by himself", false), id());
    keep(id(), plain.clone()).await;
    keep(id(), remark(&planted(1), true)).await;
    keep(undone.clone(), remark(&planted(2), true)).await;
    store.undo(&undone, id(), "fitter", NOW).await.unwrap();
    let copy = store.backup(None, datetime(2026, 11, 28, 12, 0, 0, 0)).await.unwrap().path;
    let before = store.dossier(&of.id).await.unwrap();
    assert_eq!(before.remarks.len(), 3);
    let erased = store.take_back_health_consent(&of.id, id(), "fitter", NOW + 1).await.unwrap();
    assert_eq!(erased, 2, "the undone one too");
    let after = store.dossier(&of.id).await.unwrap();
    assert_eq!(after.remarks.iter().map(|kept| &kept.record).collect::<Vec<_>>(), [&plain]);
    assert_eq!((&after.readings, &after.clubs), (&before.readings, &before.clubs));
    let log = store.log(Some(&of.id), 10).await.unwrap();
    assert_eq!(log[0].sentence, "Remarks about health erased: the consent was taken back");
    assert!(store.undo(&log[0].id, id(), "fitter", NOW + 2).await.is_err(), "nothing can bring them back");
    assert!(store.check().await.unwrap().faults.is_empty());
    std::fs::rename(&copy, folder.path().join("elsewhere")).unwrap();
    assert_eq!(words_in(folder.path()).len(), 1, "in the copy alone");
    store.close().await;
    drop(store);
    // nor does a copy
    std::fs::rename(folder.path().join("elsewhere"), &copy).unwrap();
    restore(&address, &copy, datetime(2026, 11, 29, 12, 0, 0, 0)).await.unwrap();
    for _ in 0..2 {
        let store = Store::open(&address).await.unwrap();
        assert_eq!(store.dossier(&of.id).await.unwrap().remarks.len(), 1);
        // nor does whoever still has it, a file or a device
        let late = before.remarks.iter().find(|kept| kept.record.is_about_health()).unwrap().record.clone();
        assert!(store.taken_back().unwrap().contains(&late.id));
        let late = store.save(Changes::new(id(), "fitter", "late").with_new(late), NOW + 3).await;
        assert!(matches!(late, Err(StoreError::Refused(Refusal::WasErased))), "{late:?}");
        store.close().await;
    }
    assert!(!words_in(folder.path()).iter().any(|file| file.ends_with("studio.db")));
}

/// One who was forgotten and comes in again would be gone at the next opening: that is refused until a person says so.
#[tokio::test]
async fn one_who_was_forgotten_comes_back_only_when_a_person_says_so() {
    for place in every_place().await {
        let store = &place.store;
        let (of, _) = filled(store, false).await;
        store.forget(&of.id, id(), "fitter", NOW + 1).await.unwrap();
        let again = || Changes::new(id(), "fitter", "again").with_new(of.clone());
        let refused = store.save(again(), NOW + 2).await;
        assert!(matches!(refused, Err(StoreError::Refused(Refusal::WasErased))), "{refused:?}");
        store.let_back_in([&of.id]).unwrap();
        store.save(again(), NOW + 3).await.unwrap();
        let address = store.address().clone();
        store.close().await;
        let store = Store::open(&address).await.unwrap();
        assert!(!store.dossier(&of.id).await.unwrap().golfer.record.is_erased());
        store.close().await;
    }
}
