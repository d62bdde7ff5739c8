//! The archive of a golfer is complete: every value of every record stands in its file and on its page.

use crate::studios::{any_golfers, any_house};
use exchange::{archive, import_json};
use proptest::prelude::*;
use serde_json::Value;
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::io::{Cursor, Read};
use studio::{Dossier, Record};
use zip::ZipArchive;

/// The values of a record as they stand on a page: a text as it is, what lies deeper as JSON writes it.
fn values(record: &Value) -> Vec<String> {
    let fields = record.as_object().unwrap().values();
    let shown = fields.filter(|value| !value.is_null()).map(|value| match value {
        Value::String(text) => text.clone(),
        Value::Bool(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        other => other.to_string(),
    });
    shown
        .map(|text| {
            text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
        })
        .collect()
}

/// Every record of a golfer, each kind with how many there are.
fn records(dossier: &Dossier) -> Vec<Value> {
    let document = serde_json::to_value(dossier).unwrap();
    let lists = document.as_object().unwrap().values();
    let kept = lists.flat_map(|list| match list {
        Value::Array(records) => records.clone(),
        one => vec![one.clone()],
    });
    kept.map(|kept| kept["record"].clone()).collect()
}

#[test]
fn every_value_of_every_record_is_in_the_file_and_on_the_page() {
    let kinds = RefCell::new(BTreeSet::new());
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig::with_cases(200));
    runner
        .run(&(any_house(), any_golfers()), |(house, golfers)| {
            for dossier in &golfers {
                let mut zip = ZipArchive::new(Cursor::new(archive(&house, dossier, &[]))).unwrap();
                let mut text = |name: &str| {
                    let mut text = String::new();
                    zip.by_name(name).unwrap().read_to_string(&mut text).unwrap();
                    text
                };
                let (page, json) = (text("read-me.html"), text("golfer.json"));
                let all = records(dossier);
                for record in &all {
                    for value in values(record) {
                        prop_assert!(page.contains(&value), "{value:?} is not on the page");
                    }
                }
                let read = import_json(json.as_bytes()).unwrap();
                prop_assert_eq!(read.golfers[0].records.len(), all.len());
                for record in &read.golfers[0].records {
                    kinds.borrow_mut().insert(record.kind().word());
                    let value = of_its_kind(record);
                    prop_assert!(all.contains(&value), "{value} came out as another");
                }
            }
            Ok(())
        })
        .unwrap();
    assert_eq!(kinds.borrow().len(), 12, "each kind was there: {kinds:?}");
}

/// A record without the word that says its kind.
fn of_its_kind(record: &Record) -> Value {
    let mut value = serde_json::to_value(record).unwrap();
    value.as_object_mut().unwrap().remove("kind");
    value
}
