//! When the file turns out to be damaged while the studio is open, nothing more is written.

use crate::place::{NOW, closed, id, measured};
use store::{Address, Store, StoreError};
use studio::{Changes, Remark};

#[tokio::test]
async fn damage_under_an_open_studio_stops_all_writing() {
    let (_folder, path) = closed().await;
    let store = Store::open(&Address::File(path.clone())).await.unwrap();
    assert_eq!(store.stopped(), None);
    let golfer = store.search("", 1).await.unwrap().remove(0).golfer;
    let whole = std::fs::read(&path).unwrap();
    let mut bytes = whole.clone();
    for page in bytes.chunks_mut(4096).skip(1) {
        page.fill(0xa5);
    }
    std::fs::write(&path, &bytes).unwrap();
    store.check_quickly().await;
    assert!(store.stopped().is_some());
    // even when the file is as it was: only a person starts it again
    std::fs::write(&path, &whole).unwrap();
    let remark = Remark {
        id: id(),
        golfer: golfer.id,
        text: "more".to_owned(),
        health_consent: None,
        by: "I. F.".to_owned(),
        at_ms: NOW,
        removed: false,
    };
    let refused =
        store.save(Changes::new(id(), "I. F.", "A remark").with_new(remark), NOW).await.unwrap_err();
    assert!(matches!(refused, StoreError::Unsound(_)), "{refused}");
    assert!(!refused.hint().is_empty());
    assert_eq!(store.count_golfers().await.unwrap(), 20, "it can still be read");
    drop(store);
    let again = Store::open(&Address::File(path)).await.unwrap();
    measured(&again, "Goes on").await;
}

#[tokio::test]
async fn a_whole_file_stops_nothing() {
    let (_folder, path) = closed().await;
    let store = Store::open(&Address::File(path)).await.unwrap();
    store.check_quickly().await;
    assert_eq!(store.stopped(), None);
}
