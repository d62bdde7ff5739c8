//! One act, one transaction: counted once, refused when stale, undone as a whole.

use crate::place::{NOW, club, every_place, golfer, id, job, measured, reading};
use store::{Refusal, StoreError};
use studio::{Changes, Field, GolferFile, JobState, Record, RecordKind};

fn refusal<T: std::fmt::Debug>(result: Result<T, StoreError>) -> Refusal {
    match result {
        Err(StoreError::Refused(refusal)) => refusal,
        other => panic!("{other:?}"),
    }
}

#[tokio::test]
async fn the_same_act_counts_once_and_another_under_its_id_is_refused() {
    for place in every_place().await {
        let store = &place.store;
        let file = golfer("Once");
        let changes = Changes::new(id(), "I. F.", "Opened").with_new(file.clone());
        let first = store.save(changes.clone(), NOW).await.unwrap();
        let again = store.save(changes.clone(), NOW + 5000).await.unwrap();
        assert_eq!((first.seq, first.was_known), (again.seq, false));
        assert!(again.was_known);
        // drawn up again a moment later it is the same act
        let mut later = reading(&file, None, Field::Stature, "70 in");
        let with =
            |read: &studio::Reading| Changes::new(changes.id.clone(), "I. F.", "Read").with_new(read.clone());
        let act = Changes { id: id(), ..with(&later) };
        store.save(act.clone(), NOW).await.unwrap();
        later.at_ms += 1500;
        assert!(store.save(Changes { id: act.id, ..with(&later) }, NOW + 1500).await.unwrap().was_known);
        let other = Changes { sentence: "Something else".to_owned(), ..changes };
        assert_eq!(refusal(store.save(other, NOW).await), Refusal::SameIdOtherBody);
        assert_eq!(store.count_golfers().await.unwrap(), 1);
    }
}

#[tokio::test]
async fn a_record_changed_elsewhere_is_refused_with_both_sides() {
    for place in every_place().await {
        let store = &place.store;
        let file = golfer("First");
        store.save(Changes::new(id(), "I. F.", "Opened").with_new(file.clone()), NOW).await.unwrap();
        let renamed = |name: &str| GolferFile { name: name.to_owned(), ..file.clone() };
        store
            .save(Changes::new(id(), "I. F.", "Renamed").with_changed(renamed("Second"), 1), NOW)
            .await
            .unwrap();
        let stale =
            store.save(Changes::new(id(), "I. F.", "Renamed").with_changed(renamed("Third"), 1), NOW).await;
        let Refusal::ChangedElsewhere { theirs, revision } = refusal(stale) else {
            panic!("expected both sides")
        };
        assert_eq!(*theirs.unwrap(), Record::Golfer(renamed("Second")));
        assert_eq!(revision, 2);
        let history = store.history(&file.id).await.unwrap();
        assert_eq!(history.len(), 2, "a refused act leaves nothing");
    }
}

#[tokio::test]
async fn half_an_act_is_never_written() {
    for place in every_place().await {
        let store = &place.store;
        let (file, seven) = measured(store, "Whole").await;
        let other = golfer("Nobody");
        // the second record hangs on a golfer who is not there
        let changes = Changes::new(id(), "I. F.", "Half")
            .with_new(reading(&file, Some(&seven), Field::Mass, "430 g"))
            .with_new(reading(&other, None, Field::Stature, "70 in"));
        assert_eq!(refusal(store.save(changes, NOW).await), Refusal::NotThere);
        let mass = store
            .dossier(&file.id)
            .await
            .unwrap()
            .club_reading(&seven.id, Field::Mass)
            .unwrap()
            .typed
            .clone();
        assert_eq!(mass, "424 g");
    }
}

#[tokio::test]
async fn nobodys_club_takes_anothers_reading() {
    for place in every_place().await {
        let store = &place.store;
        let (_, seven) = measured(store, "Owner").await;
        let (thief, _) = measured(store, "Other").await;
        let forged = Changes::new(id(), "I. F.", "Forged").with_new(reading(
            &thief,
            Some(&seven),
            Field::Mass,
            "400 g",
        ));
        assert_eq!(refusal(store.save(forged, NOW).await), Refusal::NotThere);
    }
}

#[tokio::test]
async fn an_act_is_undone_as_a_whole_and_redone() {
    for place in every_place().await {
        let store = &place.store;
        let (file, seven) = measured(store, "Undo").await;
        let eight = club(&file, "8 iron");
        let paste = Changes::new(id(), "I. F.", "Pasted two cells")
            .with_new(eight.clone())
            .with_new(reading(&file, Some(&eight), Field::ClubLength, "36 in"))
            .with_new(reading(&file, Some(&seven), Field::Mass, "430 g"));
        store.save(paste.clone(), NOW).await.unwrap();
        let undoing = id();
        store.undo(&paste.id, undoing.clone(), "I. F.", NOW).await.unwrap();
        let dossier = store.dossier(&file.id).await.unwrap();
        assert_eq!(dossier.live_clubs().count(), 1);
        assert_eq!(dossier.club_reading(&seven.id, Field::Mass).unwrap().typed, "424 g");
        // sent again it counts once; undone twice it is refused
        assert!(store.undo(&paste.id, undoing.clone(), "I. F.", NOW).await.unwrap().was_known);
        assert_eq!(refusal(store.undo(&paste.id, id(), "I. F.", NOW).await), Refusal::NotUndoable);
        // undoing the undoing brings it back
        store.undo(&undoing, id(), "I. F.", NOW).await.unwrap();
        let dossier = store.dossier(&file.id).await.unwrap();
        assert_eq!(dossier.live_clubs().count(), 2);
        assert_eq!(dossier.club_reading(&seven.id, Field::Mass).unwrap().typed, "430 g");
        let log = store.log(Some(&file.id), 10).await.unwrap();
        assert_eq!(log[0].sentence, "Undone: Undone: Pasted two cells");
    }
}

/// The first setting a house ever had, undone: everything is as usual again.
#[tokio::test]
async fn the_first_setting_of_a_house_is_undone_like_any_other() {
    for place in every_place().await {
        let store = &place.store;
        let house = store.house().await.unwrap().record.with("round_to", "1/16 in").unwrap();
        let set = Changes::new(id(), "I. F.", "Set").with_new(house.clone());
        store.save(set.clone(), NOW).await.unwrap();
        let undoing = id();
        store.undo(&set.id, undoing.clone(), "I. F.", NOW).await.unwrap();
        assert_eq!(store.house().await.unwrap().record, studio::HouseSettings::usual());
        store.undo(&undoing, id(), "I. F.", NOW).await.unwrap();
        assert_eq!(store.house().await.unwrap().record, house);
    }
}

#[tokio::test]
async fn what_something_newer_stands_on_is_not_undone() {
    for place in every_place().await {
        let store = &place.store;
        let file = golfer("First");
        let opened = Changes::new(id(), "I. F.", "Opened").with_new(file.clone());
        store.save(opened.clone(), NOW).await.unwrap();
        let renamed = GolferFile { name: "Second".to_owned(), ..file.clone() };
        store.save(Changes::new(id(), "I. F.", "Renamed").with_changed(renamed, 1), NOW).await.unwrap();
        assert_eq!(refusal(store.undo(&opened.id, id(), "I. F.", NOW).await), Refusal::NotUndoable);
        assert_eq!(refusal(store.undo(&id(), id(), "I. F.", NOW).await), Refusal::NotUndoable);
    }
}

#[tokio::test]
async fn jobs_are_numbered_one_by_one() {
    for place in every_place().await {
        let store = &place.store;
        let (file, _) = measured(store, "Jobs").await;
        for number in 1..=3 {
            let job = job(&file, JobState::Measured);
            store.save(Changes::new(id(), "I. F.", "Job").with_new(job.clone()), NOW).await.unwrap();
            assert_eq!(store.job_numbered(number).await.unwrap().unwrap().0, job.id);
            assert!(store.record(RecordKind::Job, &job.id).await.unwrap().is_some());
        }
    }
}

/// Acts that are saved together stand on each other: one that is refused takes the others with it.
#[tokio::test]
async fn acts_saved_together_are_all_there_or_none() {
    for place in every_place().await {
        let store = &place.store;
        let of = golfer("Whole Or Not");
        let opened = Changes::new(id(), "fitter", "File opened").with_new(of.clone());
        let stray = GolferFile { id: id(), ..of.clone() };
        let of_nobody =
            Changes::new(id(), "fitter", "of nobody").with_new(reading(&stray, None, Field::Stature, "73"));
        assert!(store.save_together(vec![opened.clone(), of_nobody], NOW).await.is_err());
        assert!(store.dossier(&of.id).await.is_err(), "nothing of it was kept");
        let measured =
            Changes::new(id(), "fitter", "Measured").with_new(reading(&of, None, Field::Stature, "73"));
        let both = vec![opened, measured];
        let saved = store.save_together(both.clone(), NOW).await.unwrap();
        assert_eq!(store.dossier(&of.id).await.unwrap().readings.len(), 1);
        let again = store.save_together(both, NOW).await.unwrap();
        assert_eq!((again.seq, saved.was_known, again.was_known), (saved.seq, false, true));
    }
}
