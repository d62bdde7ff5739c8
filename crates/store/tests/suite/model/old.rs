//! The oldest studio as the model holds it: read from its history alone, without the store.

use super::plain::{Plain, PlainAct, PlainChange};
use crate::old_files::oldest_of;
use crate::place::id;
use sqlx::any::AnyRow;
use sqlx::{Connection, Row};
use std::sync::LazyLock;
use studio::{Id, Kept, Record};

/// An act and its changes as they are written: the record's id, revision, before and after.
type Written = (ActWritten, Vec<(String, i64, Option<String>, String)>);

#[derive(Clone)]
struct ActWritten {
    id: String,
    seq: i64,
    by: String,
    sentence: String,
    at_ms: i64,
    is_of_the_golfer: bool,
}

static GOLFER: LazyLock<Id> = LazyLock::new(id);
static WRITTEN: LazyLock<Vec<Written>> = LazyLock::new(|| {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(written())
});

/// The oldest studio, its golfer under this id.
pub(crate) fn oldest(golfer: &Id) -> Plain {
    let here = |text: &str| text.replace(GOLFER.as_str(), golfer.as_str());
    let record = |text: &str| -> Record { serde_json::from_str(&here(text)).unwrap() };
    let mut plain = Plain::default();
    for (act, changes) in WRITTEN.iter() {
        let changes: Vec<PlainChange> = changes
            .iter()
            .map(|(id, revision, before, after)| PlainChange {
                record: Id::parse(&here(id)).unwrap(),
                revision: *revision,
                before: before.as_deref().map(record),
                after: record(after),
            })
            .collect();
        for change in &changes {
            let kept = Kept { record: change.after.clone(), revision: change.revision };
            plain.records.insert(change.record.clone(), kept);
        }
        plain.acts.push(PlainAct {
            id: Id::parse(&act.id).unwrap(),
            seq: act.seq,
            by: act.by.clone(),
            sentence: act.sentence.clone(),
            at_ms: act.at_ms,
            golfer: act.is_of_the_golfer.then(|| golfer.clone()),
            undoes: None,
            undone_by: None,
            sent: None,
            changes,
        });
    }
    plain
}

async fn written() -> Vec<Written> {
    sqlx::any::install_default_drivers();
    let mut connection = sqlx::AnyConnection::connect("sqlite::memory:").await.unwrap();
    let (schema, rows) = oldest_of(&GOLFER);
    sqlx::raw_sql(sqlx::AssertSqlSafe(format!("{schema}{rows}"))).execute(&mut connection).await.unwrap();
    const ACTS: &str = "SELECT id, seq, by_whom, sentence, at_ms, golfer_id FROM change_set ORDER BY seq";
    const CHANGES: &str =
        "SELECT record_id, revision, before, after FROM change WHERE set_id = $1 ORDER BY place";
    let mut written = Vec::new();
    for row in sqlx::query(ACTS).fetch_all(&mut connection).await.unwrap() {
        let act = ActWritten {
            id: row.get("id"),
            seq: row.get("seq"),
            by: row.get("by_whom"),
            sentence: row.get("sentence"),
            at_ms: row.get("at_ms"),
            is_of_the_golfer: row.get::<Option<String>, _>("golfer_id").is_some(),
        };
        let changes = sqlx::query(CHANGES).bind(act.id.clone()).fetch_all(&mut connection).await.unwrap();
        let change =
            |row: &AnyRow| (row.get("record_id"), row.get("revision"), row.get("before"), row.get("after"));
        written.push((act, changes.iter().map(change).collect()));
    }
    connection.close().await.unwrap();
    written
}
