//! A studio goes from one server to the other by its studio file, and comes out the same.

use crate::place::{NOW, every_place, golfer, id, reading};
use exchange::{HealthRemarks, export_json, import_json};
use jiff::civil::date;
use store::{Everything, Store};
use studio::{Changes, Field, Reading};

async fn file_of(store: &Store) -> String {
    let Everything { house, shelf, dossiers } = store.everything().await.unwrap();
    export_json(&house, &shelf, &dossiers, HealthRemarks::Included)
}

async fn take(store: &Store, file: &str) {
    let imported = import_json(file.as_bytes()).unwrap();
    store.save(Changes::new(id(), "import", "House").with_new(imported.house.clone()), NOW).await.unwrap();
    for golfer in &imported.golfers {
        for act in golfer.acts("import", id) {
            store.save(act, NOW).await.unwrap();
        }
    }
    for act in imported.shelf_acts("import", id) {
        store.save(act, NOW).await.unwrap();
    }
}

/// The invented studio: on SQLite alone it goes from one file to another; where a PostgreSQL server is named, every way.
#[tokio::test]
async fn a_studio_comes_out_the_same_on_another_server() {
    for from in every_place().await {
        for act in example::studio(date(2026, 11, 28), NOW) {
            from.store.save(act.changes, act.at_ms).await.unwrap();
        }
        let file = file_of(&from.store).await;
        assert!(file.len() > 100_000, "{} bytes", file.len());
        for into in every_place().await {
            take(&into.store, &file).await;
            assert_eq!(file_of(&into.store).await, file);
        }
    }
}

/// A reading in words, then one with a number, on the same connection: what is prepared for the one serves the other.
#[tokio::test]
async fn a_number_is_kept_after_one_that_was_not_there() {
    for place in every_place().await {
        let of = golfer("Ines Falk");
        place.store.save(Changes::new(id(), "I. F.", "Opened").with_new(of.clone()), NOW).await.unwrap();
        let mut changes = Changes::new(id(), "I. F.", "Read");
        for value_si in [None, Some(1.85), None, Some(1.86)] {
            let read = reading(&of, None, Field::Stature, "73");
            changes = changes.with_new(Reading { id: id(), value_si, ..read });
        }
        place.store.save(changes, NOW).await.unwrap();
        let readings = place.store.dossier(&of.id).await.unwrap().readings;
        let values: Vec<Option<f64>> = readings.iter().map(|kept| kept.record.value_si).collect();
        assert_eq!(values, [None, Some(1.85), None, Some(1.86)]);
    }
}
