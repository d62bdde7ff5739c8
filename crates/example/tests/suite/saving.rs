//! The acts as acts: taken by a store, counted once, always the same, and all of them in the past.

use crate::place::{NOW_MS, TODAY, filled};
use jiff::civil::date;
use std::collections::BTreeSet;
use store::{Address, Refusal, Store, StoreError};
use studio::{Changes, HouseSettings, Id};

const DAY_MS: i64 = 86_400_000;

#[tokio::test]
async fn a_store_takes_everything_and_there_are_twelve_golfers() {
    let place = filled().await;
    assert_eq!(place.store.count_golfers().await.unwrap(), 12);
    assert_eq!(place.dossiers().await.len(), 12);
    assert_eq!(place.house.value("name"), "The Back Bench (example)");
    assert_eq!(place.house.value("fitter"), "Ines Falk");
    assert_eq!(place.store.check().await.unwrap().faults, [""; 0]);
}

#[tokio::test]
async fn saving_twice_counts_once() {
    let place = filled().await;
    let count = i64::try_from(place.acts.len()).unwrap();
    for act in &place.acts {
        assert!(place.store.save(act.changes.clone(), act.at_ms).await.unwrap().was_known);
    }
    assert_eq!(place.store.note_newest().await.unwrap(), count);
    assert_eq!(place.store.count_golfers().await.unwrap(), 12);
}

#[tokio::test]
async fn a_house_with_a_name_of_its_own_keeps_it_and_takes_the_golfers() {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&Address::File(folder.path().join("named.db"))).await.unwrap();
    let own = HouseSettings::usual().with("name", "My own").unwrap();
    let id = Id::parse("01938a6e-1b2c-7def-8123-456789abcdef").unwrap();
    store.save(Changes::new(id, "me", "House").with_new(own.clone()), NOW_MS).await.unwrap();
    let acts = example::studio(TODAY, NOW_MS);
    let (first, others) = acts.split_first().unwrap();
    let refused = store.save(first.changes.clone(), first.at_ms).await;
    assert!(matches!(refused, Err(StoreError::Refused(Refusal::ChangedElsewhere { .. }))));
    for act in others {
        store.save(act.changes.clone(), act.at_ms).await.unwrap();
    }
    assert_eq!(store.house().await.unwrap().record, own);
    assert_eq!(store.count_golfers().await.unwrap(), 12);
}

#[tokio::test]
async fn told_for_another_day_a_store_that_has_it_keeps_what_it_has() {
    let place = filled().await;
    let before = place.dossiers().await;
    let next_day = example::studio(TODAY.tomorrow().unwrap(), NOW_MS + DAY_MS);
    let mut refused = 0;
    for act in next_day {
        match place.store.save(act.changes.clone(), act.at_ms).await {
            // an act in which no day stands is the same on both
            Ok(saved) => assert!(saved.was_known, "{}", act.changes.sentence),
            Err(error) => {
                assert!(matches!(error, StoreError::Refused(Refusal::SameIdOtherBody)), "{error}");
                refused += 1;
            }
        }
    }
    assert!(refused > 50, "{refused}");
    assert_eq!(place.dossiers().await, before);
}

/// Targets and jobs were made from a folder kept beside the store; both must have held the same.
#[tokio::test]
async fn the_card_a_job_was_made_from_is_the_stores_own() {
    let place = filled().await;
    for name in ["Karel Dvořák", "Tendai Moyo"] {
        let dossier = place.dossier(name).await;
        let card = dossier.card(&place.house).unwrap();
        assert_eq!(dossier.job().unwrap().record.card, card.as_str(), "{name}");
        assert_eq!(dossier.target().unwrap().record.card, card.as_str(), "{name}");
    }
    let joost = place.dossier("Joost Vermeer").await;
    assert_eq!(joost.target().unwrap().record.card, joost.card(&place.house).unwrap().as_str());
}

#[test]
fn the_same_day_and_time_give_the_same_acts() {
    assert_eq!(example::studio(TODAY, NOW_MS), example::studio(TODAY, NOW_MS));
}

#[test]
fn on_any_day_the_acts_lie_in_the_past_in_order_and_no_id_is_used_twice() {
    for today in [TODAY, date(2028, 2, 29), date(2027, 1, 1), date(2031, 3, 1)] {
        let acts = example::studio(today, NOW_MS);
        assert_eq!(acts.len(), example::studio(TODAY, NOW_MS).len());
        assert!(acts.iter().all(|act| act.at_ms < NOW_MS), "{today}");
        assert!(acts.is_sorted_by_key(|act| act.at_ms), "{today}");
        let mut ids = BTreeSet::new();
        for act in &acts {
            assert!(ids.insert(act.changes.id.clone()), "{}", act.changes.sentence);
            assert!(act.changes.puts.len() < 200 && !act.changes.puts.is_empty(), "{}", act.changes.sentence);
            for put in act.changes.puts.iter().filter(|put| put.seen.is_none()) {
                assert!(ids.insert(put.record.id().clone()), "{}", act.changes.sentence);
            }
        }
    }
}

/// One person works there: whoever came on a day is done with before the next one is begun.
#[test]
fn the_fitter_sees_one_golfer_at_a_time() {
    let acts = example::studio(TODAY, NOW_MS);
    let on_days = acts.chunk_by(|one, next| days_ago(one.at_ms) == days_ago(next.at_ms));
    for day in on_days {
        let visits: Vec<_> = day
            .chunk_by(|one, next| one.changes.golfer() == next.changes.golfer())
            .map(|visit| &visit[0])
            .collect();
        let golfers: BTreeSet<_> = visits.iter().map(|visit| visit.changes.golfer()).collect();
        assert_eq!(golfers.len(), visits.len(), "{} days ago", days_ago(day[0].at_ms));
    }
}

fn days_ago(at_ms: i64) -> i64 {
    (NOW_MS - at_ms) / DAY_MS
}
