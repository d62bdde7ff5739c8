//! The one write path: an act of the fitter is one transaction.

use crate::columns::bound;
use crate::connect::Writer;
use crate::forget::wishes::Wishes;
use crate::kinds::{record_of, table_of, values_of};
use crate::server::ONE_WRITER;
use crate::shelf::refuse_less_than_nothing;
use crate::{Refusal, Store, StoreError, own_number};
use serde_json::Value;
use sha2::{Digest, Sha256};
use sqlx::{AnyConnection, Connection, Row};
use std::fmt::Write as _;
use std::time::Instant;
use studio::{Changes, Id, Kept, Put, Record, RecordKind};
use tokio::sync::Mutex;

/// A write slower than this is worth a line in the log, milliseconds. House choice.
const SLOW_MS: u64 = 250;
/// How often a write on a server is tried when others are in its way. House choice.
const TRIES: u32 = 3;

/// What was acknowledged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Saved {
    /// Its place in the sequence of changes.
    pub seq: i64,
    /// Whether the same act was saved before and this answers it again.
    pub was_known: bool,
}

/// What an act has to know before it is written, asked at once: whether it was saved before, what its place would be, and
/// whether its golfer was forgotten. Of one who was forgotten only what was paid is left: nothing is added to it.
const BEFORE: &str = "SELECT CAST(COALESCE(MAX(seq), 0) + 1 AS BIGINT) AS next, \
                      (SELECT seq FROM change_set WHERE id = $1) AS seq, \
                      (SELECT digest FROM change_set WHERE id = $1) AS digest, \
                      (SELECT CAST(COUNT(*) AS BIGINT) FROM golfer WHERE id = $2 AND removed = 1 AND name = 'erased') \
                      AS forgotten FROM change_set";
const KNOWN: &str = "SELECT digest FROM change_set WHERE id = $1";
const WRITE_SET: &str = "INSERT INTO change_set (id, seq, golfer_id, by_whom, sentence, at_ms, digest, undoes) \
                         VALUES ($1, $2, $3, $4, $5, $6, $7, $8)";
const WRITE_CHANGE: &str = "INSERT INTO change (set_id, place, record_kind, record_id, revision, before, after) \
                            VALUES ($1, $2, $3, $4, $5, $6, $7)";
const WORKED_ON: &str = "UPDATE golfer SET seq = $1 WHERE id = $2";
const TAKEN: &str = "SELECT id FROM job WHERE number = $1";
const NEXT_JOB: &str = "SELECT CAST(COALESCE(MAX(number), 0) + 1 AS BIGINT) AS number FROM job";
pub(crate) const MARK_UNDONE: &str = "UPDATE change_set SET undone_by = $1 WHERE id = $2";

impl Store {
    /// Saves an act of the fitter, all of it or nothing; `now_ms` is written into the history.
    ///
    /// The write runs to its end even when the caller goes away. When it has returned, it is on disk.
    ///
    /// # Errors
    /// [`StoreError::Refused`] when a record was changed meanwhile, the id was used for something else, or a record it
    /// hangs on is not there. [`StoreError::Failed`] means that it is not known whether it was saved: send it again.
    pub async fn save(&self, changes: Changes, now_ms: i64) -> Result<Saved, StoreError> {
        self.run(vec![Act { changes, undoes: None }], now_ms).await
    }

    /// Saves several acts, each standing on those before it: all of them or none. Gives the place of the last.
    ///
    /// # Errors
    /// As [`Store::save`], for the first act that is refused.
    pub async fn save_together(&self, acts: Vec<Changes>, now_ms: i64) -> Result<Saved, StoreError> {
        self.run(acts.into_iter().map(|changes| Act { changes, undoes: None }).collect(), now_ms).await
    }

    /// Tells whether an act was saved before, with this sent ([`Changes::sent`]).
    ///
    /// # Errors
    /// [`Refusal::SameIdOtherBody`] when it was saved with something else; when the store cannot be read.
    pub async fn was_saved(&self, act: &Id, sent: &str) -> Result<bool, StoreError> {
        let known = sqlx::query(KNOWN).bind(act.as_str()).fetch_optional(&self.inner.readers).await?;
        let Some(known) = known else { return Ok(false) };
        if known.try_get::<String, _>("digest")? != digest_of(Value::String(sent.to_owned()))? {
            return Err(Refusal::SameIdOtherBody.into());
        }
        Ok(true)
    }

    pub(crate) async fn run(&self, acts: Vec<Act>, now_ms: i64) -> Result<Saved, StoreError> {
        self.refuse_when_only_read()?;
        self.refuse_when_stopped()?;
        let store = self.clone();
        let written = tokio::spawn(async move {
            let begun = Instant::now();
            let erased = erased_among(&store, &acts)?;
            let batch = Batch { acts, erased, now_ms };
            let saved = match &store.inner.writer {
                Writer::Alone(connection) => write_alone(&store, connection, &batch).await,
                Writer::Together => write_together(&store, &batch).await,
                Writer::Nobody(why) => Err(StoreError::OnlyRead(*why)),
                Writer::Pool => in_turn(|| write_in_pool(&store, &batch)).await,
            };
            let took_ms = u64::try_from(begun.elapsed().as_millis()).unwrap_or(u64::MAX);
            if took_ms > SLOW_MS {
                tracing::warn!(took_ms, "a write was slow");
            }
            let saved = saved.inspect_err(|error| store.heed(error))?;
            store.inner.newest.send_if_modified(|known| {
                let is_new = *known < saved.seq;
                *known = (*known).max(saved.seq);
                is_new
            });
            for act in &batch.acts {
                tracing::info!(act = %act.changes.id, seq = saved.seq, was_known = saved.was_known, "saved");
            }
            Ok(saved)
        });
        written.await.map_err(|error| StoreError::Failed(error.to_string()))?
    }
}

/// An act, and the one it undoes.
pub(crate) struct Act {
    pub(crate) changes: Changes,
    pub(crate) undoes: Option<Id>,
}

/// What is written in one transaction.
struct Batch {
    acts: Vec<Act>,
    /// Which of the records it makes anew were written down to be erased.
    erased: Vec<Id>,
    now_ms: i64,
}

/// Records that would be made anew, and erased again when the studio is next opened: golfers who were forgotten, and
/// remarks about health to which consent was taken back.
fn erased_among(store: &Store, acts: &[Act]) -> Result<Vec<Id>, StoreError> {
    let puts = acts.iter().flat_map(|act| &act.changes.puts).filter(|put| put.seen.is_none());
    let can_be = puts.filter(|put| matches!(put.record.kind(), RecordKind::Golfer | RecordKind::Remark));
    let new: Vec<&Id> = can_be.map(|put| put.record.id()).collect();
    if new.is_empty() {
        return Ok(Vec::new());
    }
    let wishes = Wishes::written_down(store.address())?;
    let all = wishes.golfers.into_iter().chain(wishes.remarks);
    Ok(all.filter(|erased| new.contains(&erased)).collect())
}

async fn write_alone(
    store: &Store,
    writer: &Mutex<Option<AnyConnection>>,
    batch: &Batch,
) -> Result<Saved, StoreError> {
    let mut writer = writer.lock().await;
    // the one before may have found the disk failing while this one waited
    store.refuse_when_stopped()?;
    let connection = writer.as_mut().ok_or_else(|| StoreError::Failed("the studio is closed".to_owned()))?;
    let written = write_with(connection, batch).await;
    if let Err(error) = &written {
        store.heed(error);
        store.renew_after(error, &mut writer).await;
    }
    written
}

/// Writes through the one connection that reads too; after a failure it is given up, see [`Store::renew_after`].
async fn write_together(store: &Store, batch: &Batch) -> Result<Saved, StoreError> {
    let mut connection = store.inner.readers.acquire().await?;
    store.refuse_when_stopped()?;
    let written = write_with(&mut connection, batch).await;
    if let Err(error) = &written {
        store.heed(error);
        if matches!(error, StoreError::DiskFull | StoreError::Failed(_)) {
            connection.close_on_drop();
        }
    }
    written
}

async fn write_with(connection: &mut AnyConnection, batch: &Batch) -> Result<Saved, StoreError> {
    let mut transaction = connection.begin_with("BEGIN IMMEDIATE").await?;
    let saved = write_all(&mut transaction, batch).await?;
    if !saved.was_known {
        own_number::lay_into_the_journal(&mut transaction).await?;
    }
    transaction.commit().await?;
    Ok(saved)
}

/// Tries a write on a server; where another transaction was in the way, the same acts are tried again.
async fn in_turn<F: Future<Output = Result<Saved, StoreError>>>(
    write: impl Fn() -> F,
) -> Result<Saved, StoreError> {
    let mut tries = 1;
    loop {
        match write().await {
            Err(StoreError::Busy(why)) if tries < TRIES => {
                tracing::warn!(tries, why, "a write was in another's way and is tried again");
                tries += 1;
            }
            written => return written,
        }
    }
}

async fn write_in_pool(store: &Store, batch: &Batch) -> Result<Saved, StoreError> {
    let mut transaction = store.inner.readers.begin().await?;
    sqlx::query(ONE_WRITER).execute(&mut *transaction).await?;
    store.refuse_when_stopped()?;
    let saved = write_all(&mut transaction, batch).await?;
    transaction.commit().await?;
    Ok(saved)
}

/// Writes act after act; gives the place of the last.
async fn write_all(connection: &mut AnyConnection, batch: &Batch) -> Result<Saved, StoreError> {
    let mut all = Saved { seq: 0, was_known: true };
    for act in &batch.acts {
        let saved = write(connection, act, &batch.erased, batch.now_ms).await?;
        all = Saved { seq: saved.seq, was_known: all.was_known && saved.was_known };
    }
    Ok(all)
}

async fn write(
    connection: &mut AnyConnection,
    act: &Act,
    erased: &[Id],
    now_ms: i64,
) -> Result<Saved, StoreError> {
    let changes = &act.changes;
    let digest = digest(changes)?;
    let golfer = changes.golfer();
    let before = sqlx::query(BEFORE)
        .bind(changes.id.as_str())
        .bind(golfer.map_or("", Id::as_str))
        .fetch_one(&mut *connection)
        .await?;
    if let Some(known) = before.try_get::<Option<String>, _>("digest")? {
        if known != digest {
            return Err(Refusal::SameIdOtherBody.into());
        }
        return Ok(Saved { seq: before.try_get("seq")?, was_known: true });
    }
    if before.try_get::<i64, _>("forgotten")? > 0 {
        return Err(Refusal::NotThere.into());
    }
    if changes.puts.iter().any(|put| put.seen.is_none() && erased.contains(put.record.id())) {
        return Err(Refusal::WasErased.into());
    }
    let seq: i64 = before.try_get("next")?;
    sqlx::query(WRITE_SET)
        .bind(changes.id.as_str())
        .bind(seq)
        .bind(golfer.map(ToString::to_string))
        .bind(changes.by.as_str())
        .bind(changes.sentence.as_str())
        .bind(now_ms)
        .bind(digest)
        .bind(act.undoes.as_ref().map(ToString::to_string))
        .execute(&mut *connection)
        .await?;
    for (place, put) in changes.puts.iter().enumerate() {
        let place = i64::try_from(place).unwrap_or(i64::MAX);
        put_one(connection, &changes.id, place, put, seq).await?;
    }
    refuse_less_than_nothing(connection, changes).await?;
    if let Some(golfer) = golfer {
        sqlx::query(WORKED_ON).bind(seq).bind(golfer.as_str()).execute(&mut *connection).await?;
    }
    if let Some(undone) = &act.undoes {
        sqlx::query(MARK_UNDONE)
            .bind(changes.id.as_str())
            .bind(undone.as_str())
            .execute(&mut *connection)
            .await?;
    }
    Ok(Saved { seq, was_known: false })
}

async fn put_one(
    connection: &mut AnyConnection,
    set: &Id,
    place: i64,
    put: &Put,
    seq: i64,
) -> Result<(), StoreError> {
    let kind = put.record.kind();
    let current = find(connection, kind, put.record.id()).await?;
    let revision = match (&current, put.seen) {
        (None, None) => 1,
        (Some(current), Some(seen)) if current.revision == seen => seen + 1,
        (Some(current), _) => {
            let theirs = Some(Box::new(current.record.clone()));
            return Err(Refusal::ChangedElsewhere { theirs, revision: current.revision }.into());
        }
        (None, Some(_)) => return Err(Refusal::NotThere.into()),
    };
    let record =
        if current.is_none() { numbered(connection, put.record.clone()).await? } else { put.record.clone() };
    let mut values = values_of(&record)?;
    values.push(revision.into());
    values.push(seq.into());
    values.push(place.into());
    bound(&table_of(kind).upsert, values).execute(&mut *connection).await?;
    let before = current.map(|current| serde_json::to_string(&current.record)).transpose()?;
    sqlx::query(WRITE_CHANGE)
        .bind(set.as_str())
        .bind(place)
        .bind(kind.word())
        .bind(record.id().as_str())
        .bind(revision)
        .bind(before)
        .bind(serde_json::to_string(&record)?)
        .execute(&mut *connection)
        .await?;
    Ok(())
}

/// A new job gets the next number, decided where no other can; one that brings a number keeps it unless it is taken.
async fn numbered(connection: &mut AnyConnection, record: Record) -> Result<Record, StoreError> {
    let Record::Job(mut job) = record else { return Ok(record) };
    let is_taken = sqlx::query(TAKEN).bind(job.number).fetch_optional(&mut *connection).await?.is_some();
    if job.number == 0 || is_taken {
        job.number = sqlx::query(NEXT_JOB).fetch_one(&mut *connection).await?.try_get("number")?;
    }
    Ok(Record::Job(job))
}

/// Finds a record as it is now.
pub(crate) async fn find(
    connection: &mut AnyConnection,
    kind: RecordKind,
    id: &Id,
) -> Result<Option<Kept<Record>>, StoreError> {
    let row =
        sqlx::query(table_of(kind).by_id.as_str()).bind(id.as_str()).fetch_optional(&mut *connection).await?;
    row.map(|row| record_of(kind, &row)).transpose()
}

/// Tells two acts of one id apart by what they say; when they were sent, and on which revision, is not part of it.
fn digest(changes: &Changes) -> Result<String, StoreError> {
    match &changes.sent {
        Some(sent) => digest_of(Value::String(sent.clone())),
        None => digest_of(serde_json::to_value(changes)?),
    }
}

fn digest_of(mut said: Value) -> Result<String, StoreError> {
    without_moments(&mut said);
    let mut hex = String::with_capacity(64);
    for byte in Sha256::digest(serde_json::to_vec(&said)?) {
        let _ = write!(hex, "{byte:02x}");
    }
    Ok(hex)
}

fn without_moments(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            fields.retain(|name, _| !name.ends_with("_ms") && name != "seen");
            fields.values_mut().for_each(without_moments);
        }
        Value::Array(items) => items.iter_mut().for_each(without_moments),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

#[cfg(test)]
mod tests {
    use super::{SLOW_MS, Saved, TRIES, in_turn};
    use crate::connect::Writer;
    use crate::in_tests::{Told, new_id};
    use crate::{Address, Refusal, Store, StoreError};
    use std::sync::atomic::{AtomicU32, Ordering};
    use std::time::Duration;
    use studio::{Changes, HouseSettings};

    /// How often a write was tried that was in another's way so many times and then ends like this.
    async fn tried(
        in_the_way: u32,
        end: fn() -> Result<Saved, StoreError>,
    ) -> (u32, Result<Saved, StoreError>) {
        let tries = AtomicU32::new(0);
        let ended = in_turn(async || match tries.fetch_add(1, Ordering::Relaxed) {
            before if before < in_the_way => Err(StoreError::Busy("deadlock detected".to_owned())),
            _ => end(),
        });
        let ended = ended.await;
        (tries.into_inner(), ended)
    }

    #[tokio::test]
    async fn a_write_in_anothers_way_is_tried_three_times() {
        let saved = || Ok(Saved { seq: 7, was_known: false });
        for in_the_way in 0..TRIES {
            let (tries, ended) = tried(in_the_way, saved).await;
            assert_eq!((tries, ended.unwrap().seq), (in_the_way + 1, 7));
        }
        let (tries, ended) = tried(TRIES, saved).await;
        assert!(tries == TRIES && matches!(ended, Err(StoreError::Busy(_))));
        // what was refused is not tried again, nor what may have been saved
        let (tries, _) = tried(0, || Err(Refusal::NotThere.into())).await;
        assert_eq!(tries, 1);
        let (tries, _) = tried(0, || Err(StoreError::Failed("cut off".to_owned()))).await;
        assert_eq!(tries, 1);
    }

    #[tokio::test]
    async fn a_slow_write_is_a_line_in_the_log() {
        let told = Told::on_this_thread();
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&Address::File(folder.path().join("studio.db"))).await.unwrap();
        let house = || Changes::new(new_id(), "I. F.", "The house");
        store.save(house().with_new(HouseSettings::usual()), 1).await.unwrap();
        let Writer::Alone(writer) = &store.inner.writer else { panic!("a file has one writer") };
        let held = writer.lock().await;
        let waiting = {
            let store = store.clone();
            tokio::spawn(async move { store.save(house().with_changed(HouseSettings::usual(), 1), 2).await })
        };
        // so that it has begun
        for _ in 0..100 {
            tokio::task::yield_now().await;
        }
        tokio::time::sleep(Duration::from_millis(SLOW_MS + 10)).await;
        drop(held);
        waiting.await.unwrap().unwrap();
        assert_eq!(told.numbers_of("saved", "seq"), [1, 2]);
        let slow = told.numbers_of("a write was slow", "took_ms");
        assert!(!slow.is_empty() && slow.iter().all(|took_ms| *took_ms > SLOW_MS as i64), "{slow:?}");
    }
}
