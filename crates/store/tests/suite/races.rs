//! Many at once, several times over ([`TIMES`]): nobody is refused, nothing is lost and nothing counts twice.

use crate::old_files::{old_in_a_file, old_on_a_server};
use crate::place::{NOW, club, every_place, id, measured, reading};
use crate::shelf::{came, part};
use crate::size::size;
use std::collections::BTreeSet;
use store::{Address, Store};
use studio::{Changes, Dossier, Field, GolferFile};

const TIMES: &str = "LENGTHWISE_RACES";
const USUAL_TIMES: usize = 3;
const WRITERS: usize = 20;
const WRITES: usize = 250;

fn times() -> usize {
    size(TIMES, USUAL_TIMES)
}

fn read_once(file: &GolferFile) -> Changes {
    Changes::new(id(), "I. F.", "Read").with_new(reading(file, None, Field::Stature, "70 in"))
}

async fn statures(store: &Store, file: &GolferFile) -> usize {
    let dossier = store.dossier(&file.id).await.unwrap();
    dossier.readings.iter().filter(|kept| kept.record.field == Field::Stature).count()
}

#[tokio::test(flavor = "multi_thread")]
async fn twenty_writers_lose_nothing() {
    for place in every_place().await {
        for time in 1..=times() {
            let (file, _) = measured(&place.store, "Busy").await;
            let mut writers = tokio::task::JoinSet::new();
            for _ in 0..WRITERS {
                let (store, file) = (place.store.clone(), file.clone());
                writers.spawn(async move {
                    for _ in 0..WRITES {
                        store.save(read_once(&file), NOW).await.unwrap();
                    }
                });
            }
            while let Some(done) = writers.join_next().await {
                done.unwrap();
            }
            assert_eq!(statures(&place.store, &file).await, WRITERS * WRITES, "time {time}");
        }
        let log = place.store.log_since(0, i64::MAX).await.unwrap();
        assert_eq!(log.len(), times() * (1 + WRITERS * WRITES));
        assert!(log.iter().zip(1..).all(|(line, seq)| line.seq == seq), "the sequence has no gap");
        assert_eq!(*place.store.watch().borrow(), log.last().unwrap().seq);
        assert!(place.store.check().await.unwrap().faults.is_empty());
    }
}

/// Five hundred acts, each sent one to five times, in any order, by four who know nothing of each other.
#[tokio::test(flavor = "multi_thread")]
async fn what_is_sent_again_counts_once() {
    for place in every_place().await {
        for time in 1..=times() {
            let (file, _) = measured(&place.store, "Again").await;
            let acts: Vec<Changes> = (0..500).map(|_| read_once(&file)).collect();
            // an order that is no order: steps by a number prime to the length
            let all: Vec<&Changes> =
                acts.iter().enumerate().flat_map(|(at, act)| std::iter::repeat_n(act, 1 + at % 5)).collect();
            let mut senders = tokio::task::JoinSet::new();
            for sender in 0..4 {
                let sent: Vec<Changes> = (0..all.len())
                    .map(|at| at * 601 % all.len())
                    .filter(|at| at % 4 == sender)
                    .map(|at| all[at].clone())
                    .collect();
                let store = place.store.clone();
                senders.spawn(async move {
                    let mut seqs = Vec::new();
                    for act in sent {
                        seqs.push((act.id.to_string(), store.save(act, NOW).await.unwrap().seq));
                    }
                    seqs
                });
            }
            let mut answered = BTreeSet::new();
            while let Some(seqs) = senders.join_next().await {
                answered.extend(seqs.unwrap());
            }
            assert_eq!(answered.len(), acts.len(), "every sending of an act has the same answer");
            assert_eq!(statures(&place.store, &file).await, acts.len(), "time {time}");
        }
    }
}

/// Two programs open an old studio at once: one upgrades it, the other finds it upgraded.
#[tokio::test(flavor = "multi_thread")]
async fn two_upgrades_at_once_are_one() {
    for _ in 0..times() {
        let folder = tempfile::tempdir().unwrap();
        let mut places = vec![Address::File(old_in_a_file(&folder).await)];
        places.extend(old_on_a_server().await);
        for address in places {
            let (one, other) = tokio::join!(Store::open(&address), Store::open(&address));
            for store in [one.unwrap(), other.unwrap()] {
                assert_eq!(store.count_golfers().await.unwrap(), 1);
                store.close().await;
            }
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn two_who_make_the_same_new_studio_share_it() {
    for _ in 0..times() {
        let folder = tempfile::tempdir().unwrap();
        let address = Address::File(folder.path().join("studio.db"));
        let (one, other) = tokio::join!(Store::open(&address), Store::open(&address));
        let (one, other) = (one.unwrap(), other.unwrap());
        measured(&one, "One").await;
        measured(&other, "Other").await;
        assert_eq!(one.count_golfers().await.unwrap(), 2);
    }
}

/// What takes several statements is read while others write and forget: each act is there whole or not at all.
#[tokio::test(flavor = "multi_thread")]
async fn what_is_read_under_writes_is_of_one_moment() {
    for place in every_place().await {
        let (regular, _) = measured(&place.store, "Regular").await;
        let (store, golfer) = (place.store.clone(), regular.clone());
        let writer = tokio::spawn(async move {
            for number in 0..60 {
                let (file, _) = measured(&store, &format!("Writer {number}")).await;
                let (iron, part) =
                    (club(&golfer, &format!("Iron {number}")), part(&format!("Part {number}")));
                let act = Changes::new(id(), "I. F.", "More")
                    .with_new(iron.clone())
                    .with_new(reading(&golfer, Some(&iron), Field::ClubLength, "37 in"))
                    .with_new(part.clone())
                    .with_new(came(&part, 3, None));
                store.save(act, NOW).await.unwrap();
                if number % 15 == 0 {
                    store.forget(&file.id, id(), "I. F.", NOW).await.unwrap();
                }
            }
        });
        let is_whole = |dossier: &Dossier| {
            let more = if dossier.golfer.record.id == regular.id { dossier.clubs.len() - 1 } else { 0 };
            assert_eq!((dossier.readings.len(), dossier.clubs.len()), (6 + more, 1 + more));
        };
        let mut reads = 0;
        while !writer.is_finished() {
            let everything = place.store.everything().await.unwrap();
            everything.dossiers.iter().for_each(is_whole);
            assert_eq!(everything.shelf.parts.len(), everything.shelf.moves.len());
            is_whole(&place.store.dossier(&regular.id).await.unwrap());
            let shelf = place.store.shelf().await.unwrap();
            assert_eq!(shelf.parts.len(), shelf.counts.len());
            reads += 1;
        }
        writer.await.unwrap();
        assert!(reads > 0);
        assert_eq!(place.store.everything().await.unwrap().dossiers.len(), 57);
    }
}
