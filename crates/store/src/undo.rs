//! Undoing an act: every record of it goes back to what it was, as a new act that can be undone in turn.

use crate::write::{Act, find};
use crate::{Refusal, Saved, Store, StoreError};
use sqlx::Row;
use studio::{Changes, HouseSettings, Id, Put, Record};

const FIND_SET: &str = "SELECT sentence, undone_by FROM change_set WHERE id = $1";
const CHANGES: &str = "SELECT revision, before, after FROM change WHERE set_id = $1 ORDER BY place DESC";

impl Store {
    /// Undoes an act; `as_id` is the id of the undoing, so that it too counts once.
    ///
    /// # Errors
    /// [`Refusal::NotUndoable`] when it is not there, was undone, or a record was changed since.
    pub async fn undo(&self, act: &Id, as_id: Id, by: &str, now_ms: i64) -> Result<Saved, StoreError> {
        let mut connection = self.inner.readers.acquire().await?;
        let set = sqlx::query(FIND_SET)
            .bind(act.as_str())
            .fetch_optional(&mut *connection)
            .await?
            .ok_or(Refusal::NotUndoable)?;
        if let Some(undone_by) = set.try_get::<Option<String>, _>("undone_by")? {
            // the same undoing, sent again
            if undone_by == as_id.as_str() {
                let row = sqlx::query("SELECT seq FROM change_set WHERE id = $1")
                    .bind(undone_by)
                    .fetch_one(&mut *connection)
                    .await?;
                return Ok(Saved { seq: row.try_get("seq")?, was_known: true });
            }
            return Err(Refusal::NotUndoable.into());
        }
        let sentence: String = set.try_get("sentence")?;
        let mut changes = Changes::new(as_id, by, format!("Undone: {sentence}"));
        for row in sqlx::query(CHANGES).bind(act.as_str()).fetch_all(&mut *connection).await? {
            let after: Record = serde_json::from_str(&row.try_get::<String, _>("after")?)?;
            let before: Option<String> = row.try_get("before")?;
            let record = match before {
                Some(before) => serde_json::from_str(&before)?,
                None => as_before_there_was_any(after),
            };
            let seen: i64 = row.try_get("revision")?;
            let now = find(&mut connection, record.kind(), record.id()).await?;
            if now.is_none_or(|now| now.revision != seen) {
                return Err(Refusal::NotUndoable.into());
            }
            changes.puts.push(Put { record, seen: Some(seen) });
        }
        drop(connection);
        self.run(vec![Act { changes, undoes: Some(act.clone()) }], now_ms).await
    }
}

/// What a record is once the act that made it is undone: taken back, or, for the house, which is never taken back, as usual.
fn as_before_there_was_any(made: Record) -> Record {
    match made {
        Record::House(_) => HouseSettings::usual().into(),
        made => made.with_removed(true),
    }
}
