//! The shelf: never less than nothing, nothing booked twice, and what a job put aside comes back when it is cancelled.

use crate::place::{NOW, Place, every_place, golfer, id, job};
use bench::PartKind;
use store::{Refusal, Store, StoreError};
use studio::{
    Changes, Id, JobFile, JobState, PartUse, Record, RecordKind, Shelf, StockMove, StockWhy, StockedPart,
};

const STEP: &str = "0.5";

pub(crate) fn part(name: &str) -> StockedPart {
    StockedPart {
        id: id(),
        kind: PartKind::Grip,
        name: name.to_owned(),
        diameter_m: None,
        length_m: None,
        mass_kg: None,
        cost: None,
        low_at: 1,
        note: None,
        removed: false,
    }
}

pub(crate) fn came(part: &StockedPart, count: i64, piece_mg: Option<i64>) -> StockMove {
    StockMove {
        id: id(),
        part: part.id.clone(),
        count,
        piece_mg,
        why: StockWhy::Came,
        job: None,
        step: None,
        by: "I. F.".to_owned(),
        at_ms: NOW,
        removed: false,
    }
}

async fn shelf_with(store: &Store, count: i64) -> StockedPart {
    let part = part("Round, standard");
    let act = Changes::new(id(), "I. F.", "Bought").with_new(part.clone());
    store.save(act.with_new(came(&part, count, None)), NOW).await.unwrap();
    part
}

/// A job of a new golfer that takes so many of a part.
async fn job_that_takes(store: &Store, part: &StockedPart, count: u32) -> JobFile {
    let file = golfer("Taker");
    let uses = vec![PartUse { part: part.id.clone(), count, step: STEP.to_owned(), piece_mg: None }];
    let job = JobFile { uses, ..job(&file, JobState::Agreed) };
    let act = Changes::new(id(), "I. F.", "Opened").with_new(file).with_new(job.clone());
    store.save(act, NOW).await.unwrap();
    match store.record(RecordKind::Job, &job.id).await.unwrap().unwrap().record {
        Record::Job(job) => job,
        _ => unreachable!("asked for a job"),
    }
}

/// An id made of a text, as whoever books makes one.
fn id_of(text: &str) -> Id {
    let mut bytes = [0_u8; 16];
    for (place, byte) in text.bytes().enumerate() {
        bytes[place % 16] = bytes[place % 16].wrapping_mul(31).wrapping_add(byte);
    }
    Id::of_bytes(uuid::Builder::from_custom_bytes(bytes).into_uuid().into_bytes())
}

/// Ticks a step as a device does: looks, books, and looks again when another was faster.
async fn tick(store: &Store, job: &JobFile, is_done: bool) {
    for _ in 0..50 {
        let shelf = store.shelf().await.unwrap();
        let moves = shelf.booking(job, STEP, is_done, ("I. F.", NOW), id_of);
        if moves.is_empty() {
            return;
        }
        let act = moves.into_iter().fold(Changes::new(id(), "I. F.", "Ticked"), Changes::with_new);
        match store.save(act, NOW).await {
            Ok(_) => return,
            Err(StoreError::Refused(Refusal::ChangedElsewhere { .. } | Refusal::NotOnTheShelf { .. })) => {}
            Err(other) => panic!("{other}"),
        }
    }
    panic!("never got through");
}

/// What was taken by an open job is read with every shelf, what was taken by one that is closed for that job alone.
#[tokio::test]
async fn what_a_closed_job_took_is_read_for_that_job() {
    for place in every_place().await {
        let part = shelf_with(&place.store, 10).await;
        let (open, closed) =
            (job_that_takes(&place.store, &part, 3).await, job_that_takes(&place.store, &part, 2).await);
        for job in [&open, &closed] {
            tick(&place.store, job, true).await;
        }
        let act = Changes::new(id(), "I. F.", "Closed")
            .with_changed(JobFile { state: JobState::Closed, ..closed.clone() }, 1);
        place.store.save(act, NOW).await.unwrap();
        let taken = |shelf: &Shelf| [&open, &closed].map(|job| shelf.taken(&job.id, &job.uses[0]));
        assert_eq!(taken(&place.store.shelf().await.unwrap()), [3, 0]);
        assert_eq!(taken(&place.store.shelf_for(&closed.id).await.unwrap()), [3, 2]);
        assert_eq!(taken(&place.store.shelf_for(&open.id).await.unwrap()), [3, 0]);
        assert_eq!(stock(&place, &part).await, 5);
    }
}

async fn stock(place: &Place, part: &StockedPart) -> i64 {
    place.store.shelf().await.unwrap().stock(&part.id)
}

#[tokio::test(flavor = "multi_thread")]
async fn two_devices_that_tick_one_step_book_it_once() {
    for place in every_place().await {
        let part = shelf_with(&place.store, 10).await;
        let job = job_that_takes(&place.store, &part, 3).await;
        let ticks: Vec<_> = (0..6)
            .map(|_| {
                let (store, job) = (place.store.clone(), job.clone());
                tokio::spawn(async move { tick(&store, &job, true).await })
            })
            .collect();
        for one in ticks {
            one.await.unwrap();
        }
        assert_eq!(stock(&place, &part).await, 7);
        tick(&place.store, &job, true).await;
        assert_eq!(stock(&place, &part).await, 7, "ticked again");
        tick(&place.store, &job, false).await;
        assert_eq!(stock(&place, &part).await, 10, "not done after all");
        tick(&place.store, &job, true).await;
        assert_eq!(stock(&place, &part).await, 7, "done after all");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn jobs_that_take_the_last_ones_at_the_same_moment_never_take_more_than_there_are() {
    for place in every_place().await {
        let part = shelf_with(&place.store, 5).await;
        let mut jobs = Vec::new();
        for _ in 0..6 {
            jobs.push(job_that_takes(&place.store, &part, 2).await);
        }
        assert_eq!(place.store.shelf().await.unwrap().reserved(&part.id), 12);
        let ticks: Vec<_> = jobs
            .iter()
            .cloned()
            .map(|job| {
                let store = place.store.clone();
                tokio::spawn(async move { tick(&store, &job, true).await })
            })
            .collect();
        for one in ticks {
            one.await.unwrap();
        }
        let shelf = place.store.shelf().await.unwrap();
        assert_eq!(shelf.stock(&part.id), 0);
        let taken: i64 = jobs.iter().map(|job| shelf.taken(&job.id, &job.uses[0])).sum();
        assert_eq!(taken, 5, "what there was");
        let missing: i64 = jobs.iter().flat_map(|job| shelf.missing(job)).map(|(_, count)| count).sum();
        assert_eq!(missing, 7, "and what there was not is said");
    }
}

#[tokio::test]
async fn less_than_nothing_is_refused_and_nothing_of_it_is_written() {
    for place in every_place().await {
        let part = shelf_with(&place.store, 2).await;
        let take = |count: i64, piece_mg| StockMove { why: StockWhy::Used, ..came(&part, -count, piece_mg) };
        let act = Changes::new(id(), "I. F.", "Too many").with_new(take(1, None)).with_new(take(2, None));
        match place.store.save(act, NOW).await {
            Err(StoreError::Refused(refusal)) => {
                assert_eq!(
                    refusal,
                    Refusal::NotOnTheShelf { name: "Round, standard".to_owned(), missing: 1 }
                );
            }
            other => panic!("{other:?}"),
        }
        assert_eq!(stock(&place, &part).await, 2);
        // a weighed piece that is not there is not made up for by those that were not weighed
        let act = Changes::new(id(), "I. F.", "No such piece").with_new(take(1, Some(50_100)));
        assert!(matches!(
            place.store.save(act, NOW).await,
            Err(StoreError::Refused(Refusal::NotOnTheShelf { .. }))
        ));
        // what came and is used up cannot be undone
        let bought = Changes::new(id(), "I. F.", "Bought").with_new(came(&part, 3, None));
        place.store.save(bought.clone(), NOW).await.unwrap();
        let used = Changes::new(id(), "I. F.", "Used").with_new(take(5, None));
        place.store.save(used.clone(), NOW).await.unwrap();
        assert!(matches!(
            place.store.undo(&bought.id, id(), "I. F.", NOW).await,
            Err(StoreError::Refused(Refusal::NotOnTheShelf { .. }))
        ));
        place.store.undo(&used.id, id(), "I. F.", NOW).await.unwrap();
        assert_eq!(stock(&place, &part).await, 5);
    }
}

#[tokio::test]
async fn a_job_that_is_cancelled_gives_back_what_it_put_aside() {
    for place in every_place().await {
        let part = shelf_with(&place.store, 4).await;
        let job = job_that_takes(&place.store, &part, 3).await;
        let free = async || place.store.shelf().await.unwrap().free(&part.id);
        assert_eq!(free().await, 1);
        let cancelled = job.moved_to(JobState::Cancelled, NOW).unwrap();
        let act = Changes::new(id(), "I. F.", "Cancelled").with_changed(cancelled, 1);
        place.store.save(act.clone(), NOW).await.unwrap();
        assert_eq!(free().await, 4);
        place.store.undo(&act.id, id(), "I. F.", NOW).await.unwrap();
        assert_eq!(free().await, 1);
        tick(&place.store, &job, true).await;
        assert_eq!(free().await, 1, "used instead of put aside");
    }
}

#[tokio::test]
async fn weighed_pieces_are_kept_apart() {
    for place in every_place().await {
        let part = shelf_with(&place.store, 1).await;
        let weighed = [50_100, 49_800, 50_100].map(|mass| came(&part, 1, Some(mass)));
        let act = weighed.into_iter().fold(Changes::new(id(), "I. F.", "Weighed"), Changes::with_new);
        place.store.save(act, NOW).await.unwrap();
        let shelf = place.store.shelf().await.unwrap();
        assert_eq!((shelf.stock(&part.id), shelf.pieces(&part.id)), (4, vec![(49_800, 1), (50_100, 2)]));
        let mut job = job_that_takes(&place.store, &part, 3).await;
        tick(&place.store, &job, true).await;
        // the one nobody weighed first, then the lightest
        assert_eq!(place.store.shelf().await.unwrap().pieces(&part.id), [(50_100, 1)]);
        tick(&place.store, &job, false).await;
        assert_eq!(
            place.store.shelf().await.unwrap().pieces(&part.id),
            [(49_800, 1), (50_100, 2)],
            "the same pieces come back"
        );
        job.uses[0] = PartUse { count: 1, piece_mg: Some(50_100), ..job.uses[0].clone() };
        tick(&place.store, &job, true).await;
        assert_eq!(place.store.shelf().await.unwrap().pieces(&part.id), [(49_800, 1), (50_100, 1)]);
    }
}
