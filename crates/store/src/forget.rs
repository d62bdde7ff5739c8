//! Forgetting a golfer: their rows, history and pictures go; of what was paid for, amounts, days and number stay.
//!
//! The wish is written down first, beside the studio ([`wishes`], ids alone), and is carried out whenever a studio is
//! opened that still holds what it names: after a power cut midway, and after going back to an older copy.

mod health;
pub(crate) mod wishes;

use crate::connect::Writer;
use crate::kinds::{kept, record_of, table_of, values_of};
use crate::server::ONE_WRITER;
use crate::{Address, Photos, Refusal, Store, StoreError, own_number, restore};
use sqlx::{AnyConnection, Connection, Row};
use std::collections::BTreeSet;
use std::path::PathBuf;
use studio::{GolferFile, Id, JobFile, Record, RecordKind};
use wishes::Wishes;

/// Tables whose rows hang on a golfer, those that hang on others first.
const TABLES: [(&str, RecordKind); 10] = [
    ("tick", RecordKind::Tick),
    ("reading", RecordKind::Reading),
    ("strike", RecordKind::Strike),
    ("trial", RecordKind::Trial),
    ("follow_up", RecordKind::FollowUp),
    ("remark", RecordKind::Remark),
    ("photo", RecordKind::Photo),
    ("visit", RecordKind::Visit),
    ("target", RecordKind::Target),
    ("club", RecordKind::Club),
];
const JOBS: &str = "SELECT * FROM job WHERE golfer_id = $1 ORDER BY number";
const PHOTOS: &str = "SELECT id FROM photo WHERE golfer_id = $1";
const NEXT_SEQ: &str = "SELECT CAST(COALESCE(MAX(seq), 0) + 1 AS BIGINT) AS seq, CAST(COALESCE(MAX(at_ms), 0) AS BIGINT) AS at_ms FROM change_set";
/// Acts that touched anything of a golfer, also those of several golfers at once.
const ACTS: &str = "SELECT DISTINCT set_id FROM change WHERE record_id = $1";
const OWN_ACTS: &str = "SELECT id FROM change_set WHERE golfer_id = $1";
const DROP_CHANGES: &str = "DELETE FROM change WHERE record_id = $1";
const DROP_CHANGES_OF: &str = "DELETE FROM change WHERE set_id = $1";
const EMPTY_ACT: &str = "UPDATE change_set SET golfer_id = NULL, by_whom = '', sentence = 'Erased', digest = '', undone_by = $1 WHERE id = $2";
const WRITE_ACT: &str = "INSERT INTO change_set (id, seq, golfer_id, by_whom, sentence, at_ms, digest, undone_by) \
                         VALUES ($1, $2, NULL, $3, 'A golfer was forgotten', $4, $5, $1)";

/// What forgetting a golfer takes, and what stays.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Forgetting {
    /// The golfer's name.
    pub name: String,
    /// What goes: kinds of records with how many there are, none of which there is nothing.
    pub gone: Vec<(RecordKind, i64)>,
    /// Numbers of the jobs of which amounts, days and number stay: a price was agreed to.
    pub kept_jobs: Vec<i64>,
    /// Folders with what going back to a copy set aside, which may hold the golfer and are left to a person.
    pub set_aside: Vec<PathBuf>,
}

impl Store {
    /// Says what forgetting a golfer would take, and what would stay.
    ///
    /// # Errors
    /// [`Refusal::NotThere`] without such a golfer.
    pub async fn forgetting(&self, golfer: &Id) -> Result<Forgetting, StoreError> {
        let mut connection = self.inner.readers.acquire().await?;
        let file = golfer_of(&mut connection, golfer).await?.ok_or(Refusal::NotThere)?;
        let mut gone = Vec::new();
        for (table, kind) in TABLES.iter().rev() {
            let count = rows_of(&mut connection, table, golfer).await?;
            gone.extend((count > 0).then_some((*kind, count)));
        }
        let jobs = jobs_of(&mut connection, golfer).await?;
        let kept: Vec<i64> = jobs.iter().filter(|job| job.was_agreed()).map(|job| job.number).collect();
        let others = i64::try_from(jobs.len() - kept.len()).unwrap_or(i64::MAX);
        gone.extend((others > 0).then_some((RecordKind::Job, others)));
        let mut set_aside: Vec<PathBuf> = match &self.inner.address {
            Address::File(path) => restore::set_aside(path).collect(),
            Address::Server(_) => Vec::new(),
        };
        set_aside.sort_unstable();
        Ok(Forgetting { name: file.name, gone, kept_jobs: kept, set_aside })
    }

    /// Forgets a golfer for good; `act` is the id of the forgetting. Copies made before still hold them: they are
    /// forgotten again when one is brought back.
    ///
    /// # Errors
    /// [`Refusal::NotThere`] without such a golfer; whatever stops a write.
    pub async fn forget(
        &self,
        golfer: &Id,
        act: Id,
        by: &str,
        now_ms: i64,
    ) -> Result<Forgetting, StoreError> {
        self.refuse_when_only_read()?;
        self.refuse_when_stopped()?;
        let forgetting = self.forgetting(golfer).await?;
        let mut connection = self.inner.readers.acquire().await?;
        let photos = ids(&mut connection, PHOTOS, golfer).await?;
        drop(connection);
        let known = Wishes::written_down(&self.inner.address)?.strays;
        let strays: Vec<Id> =
            known.into_iter().filter(|(_, of)| of == golfer).map(|(photo, _)| photo).collect();
        let photos = [photos, strays.clone()].concat();
        Wishes { golfers: vec![golfer.clone()], photos, ..Wishes::default() }
            .write_down(&self.inner.address)?;
        self.erase(&Erasing::Golfer(golfer), &act, by, Some(now_ms)).await?;
        if let Some(folder) = Photos::of(&self.inner.address) {
            for photo in &strays {
                folder.remove(photo)?;
            }
        }
        self.leave_no_trace().await?;
        Ok(forgetting)
    }

    /// Takes a golfer who comes back, and their photos, off the list of what is to be erased; what they took their consent
    /// back to stays on it.
    ///
    /// # Errors
    /// When the list cannot be written.
    pub fn let_back_in<'i>(&self, ids: impl IntoIterator<Item = &'i Id>) -> Result<(), StoreError> {
        Wishes::take_off(&self.inner.address, &ids.into_iter().collect())
    }

    /// Returns the remarks about health to which consent was taken back here.
    ///
    /// # Errors
    /// When the list cannot be read.
    pub fn taken_back(&self) -> Result<BTreeSet<Id>, StoreError> {
        Ok(Wishes::written_down(&self.inner.address)?.remarks.into_iter().collect())
    }

    /// Carries out what was written down and is not done yet.
    pub(crate) async fn finish_forgetting(&self) -> Result<(), StoreError> {
        let mut is_any = false;
        let wishes = Wishes::written_down(&self.inner.address)?;
        for golfer in &wishes.golfers {
            let mut connection = self.inner.readers.acquire().await?;
            let is_there = golfer_of(&mut connection, golfer).await?.is_some_and(|file| !file.is_erased());
            drop(connection);
            if is_there {
                let act = self.act_for(golfer).await?;
                self.erase(&Erasing::Golfer(golfer), &act, "forget", None).await?;
                is_any = true;
            }
        }
        is_any |= self.finish_taking_back(&wishes.remarks).await?;
        // cut off after the rows were gone, a forgetting left pictures, and in the journal the words
        if let Some(folder) = Photos::of(&self.inner.address) {
            for photo in &wishes.photos {
                folder.remove(photo)?;
            }
        }
        match (is_any, wishes.golfers.is_empty() && wishes.remarks.is_empty()) {
            (true, _) => self.leave_no_trace().await,
            (false, false) => self.fold_the_journal_in().await,
            (false, true) => Ok(()),
        }
    }

    /// The id of the act that carries out a wish when a studio is opened: the same whoever opens it, so that it counts once,
    /// and another where what it erases came back since.
    async fn act_for(&self, erased: &Id) -> Result<Id, StoreError> {
        let mut act = act_made_of(erased);
        while self.knows(&act).await? {
            act = act_made_of(&act);
        }
        Ok(act)
    }

    /// Erases in one transaction.
    async fn erase(
        &self,
        what: &Erasing<'_>,
        act: &Id,
        by: &str,
        now_ms: Option<i64>,
    ) -> Result<(), StoreError> {
        let (seq, photos) = match &self.inner.writer {
            Writer::Alone(connection) => {
                let mut writer = connection.lock().await;
                self.refuse_when_stopped()?;
                let connection =
                    writer.as_mut().ok_or_else(|| StoreError::Failed("the studio is closed".to_owned()))?;
                let erased = erase_with(connection, what, act, by, now_ms).await;
                if let Err(error) = &erased {
                    self.heed(error);
                    self.renew_after(error, &mut writer).await;
                }
                erased?
            }
            Writer::Nobody(why) => return Err(StoreError::OnlyRead(*why)),
            Writer::Together => {
                let mut connection = self.inner.readers.acquire().await?;
                erase_with(&mut connection, what, act, by, now_ms).await?
            }
            Writer::Pool => {
                let mut transaction = self.inner.readers.begin().await?;
                sqlx::query(ONE_WRITER).execute(&mut *transaction).await?;
                let erased = what.rows(&mut transaction, act, by, now_ms).await?;
                transaction.commit().await?;
                erased
            }
        };
        // rows first, then files: a picture without a row is found by a check
        if let Some(folder) = Photos::of(&self.inner.address) {
            for photo in photos {
                folder.remove(&photo)?;
            }
        }
        self.inner.newest.send_if_modified(|known| {
            let is_new = *known < seq;
            *known = (*known).max(seq);
            is_new
        });
        tracing::info!(seq, "{}", what.words());
        Ok(())
    }

    /// Rewrites a file so that no page, free or in the journal, holds what was erased.
    async fn leave_no_trace(&self) -> Result<(), StoreError> {
        let Writer::Alone(connection) = &self.inner.writer else {
            // a server writes its tables anew in its own time; a file without a journal beside it needs no more
            sqlx::raw_sql("VACUUM").execute(&self.inner.readers).await?;
            return Ok(());
        };
        if let Some(connection) = connection.lock().await.as_mut() {
            sqlx::raw_sql("VACUUM").execute(&mut *connection).await?;
        }
        self.fold_the_journal_in().await
    }

    /// Empties the journal of a file: what was erased may stand in it.
    async fn fold_the_journal_in(&self) -> Result<(), StoreError> {
        let Writer::Alone(connection) = &self.inner.writer else { return Ok(()) };
        let mut connection = connection.lock().await;
        let Some(connection) = connection.as_mut() else { return Ok(()) };
        let row = sqlx::query("PRAGMA wal_checkpoint(TRUNCATE)").fetch_one(&mut *connection).await?;
        if row.try_get::<i64, _>(0)? != 0 {
            tracing::warn!(
                "the journal is still being read: it holds what was erased until the studio is closed"
            );
        }
        Ok(())
    }
}

/// What is erased.
enum Erasing<'i> {
    /// Everything of a golfer.
    Golfer(&'i Id),
    /// Remarks of a golfer.
    Remarks(&'i Id, &'i [Id]),
}

impl Erasing<'_> {
    /// Erases the rows; gives the place of the act in the sequence, and the photos whose pictures are to go.
    async fn rows(
        &self,
        connection: &mut AnyConnection,
        act: &Id,
        by: &str,
        now_ms: Option<i64>,
    ) -> Result<(i64, Vec<Id>), StoreError> {
        match self {
            Self::Golfer(golfer) => erase_rows(connection, golfer, act, by, now_ms).await,
            Self::Remarks(golfer, remarks) => {
                let seq = health::erase_rows(connection, golfer, remarks, act, by, now_ms).await?;
                Ok((seq, Vec::new()))
            }
        }
    }

    fn words(&self) -> &'static str {
        match self {
            Self::Golfer(_) => "a golfer was forgotten",
            Self::Remarks(..) => "remarks about health were erased",
        }
    }
}

/// Erases from a file, in one transaction.
async fn erase_with(
    connection: &mut AnyConnection,
    what: &Erasing<'_>,
    act: &Id,
    by: &str,
    now_ms: Option<i64>,
) -> Result<(i64, Vec<Id>), StoreError> {
    let mut transaction = connection.begin_with("BEGIN IMMEDIATE").await?;
    let erased = what.rows(&mut transaction, act, by, now_ms).await?;
    own_number::lay_into_the_journal(&mut transaction).await?;
    transaction.commit().await?;
    Ok(erased)
}

/// The first id of an act that carries out a wish when a studio is opened, made of what it erases.
fn act_made_of(erased: &Id) -> Id {
    use sha2::{Digest, Sha256};
    let digest = Sha256::digest(format!("forget/{erased}"));
    let mut bytes = [0; 16];
    bytes.iter_mut().zip(digest).for_each(|(to, from)| *to = from);
    bytes[6] = bytes[6] & 0x0f | 0x80;
    bytes[8] = bytes[8] & 0x3f | 0x80;
    Id::of_bytes(bytes)
}

/// The next place in the sequence, and the moment of the last act.
async fn next(connection: &mut AnyConnection) -> Result<(i64, i64), StoreError> {
    let row = sqlx::query(NEXT_SEQ).fetch_one(&mut *connection).await?;
    Ok((row.try_get("seq")?, row.try_get("at_ms")?))
}

async fn golfer_of(connection: &mut AnyConnection, id: &Id) -> Result<Option<GolferFile>, StoreError> {
    let sql = table_of(RecordKind::Golfer).by_id.as_str();
    let row = sqlx::query(sql).bind(id.as_str()).fetch_optional(&mut *connection).await?;
    Ok(row.map(|row| kept::<GolferFile>(&row)).transpose()?.map(|kept| kept.record))
}

async fn rows_of(connection: &mut AnyConnection, table: &str, golfer: &Id) -> Result<i64, StoreError> {
    // the table's name is a constant of ours
    let sql = format!("SELECT CAST(COUNT(*) AS BIGINT) AS count FROM {table} WHERE golfer_id = $1");
    let sql = sqlx::AssertSqlSafe(sql);
    Ok(sqlx::query(sql).bind(golfer.as_str()).fetch_one(&mut *connection).await?.try_get("count")?)
}

async fn jobs_of(connection: &mut AnyConnection, golfer: &Id) -> Result<Vec<JobFile>, StoreError> {
    let rows = sqlx::query(JOBS).bind(golfer.as_str()).fetch_all(&mut *connection).await?;
    rows.iter().map(|row| Ok(kept::<JobFile>(row)?.record)).collect()
}

/// Erases everything of a golfer; gives the place of the act in the sequence, and the photos whose pictures are to go.
async fn erase_rows(
    connection: &mut AnyConnection,
    golfer: &Id,
    act: &Id,
    by: &str,
    now_ms: Option<i64>,
) -> Result<(i64, Vec<Id>), StoreError> {
    let file = golfer_of(connection, golfer).await?.ok_or(Refusal::NotThere)?;
    let (seq, newest_ms) = next(connection).await?;
    let photos = ids(connection, PHOTOS, golfer).await?;
    let mut records: BTreeSet<Id> = BTreeSet::from([golfer.clone()]);
    for (table, _) in TABLES.iter().chain([&("job", RecordKind::Job)]) {
        let sql = format!("SELECT id FROM {table} WHERE golfer_id = $1");
        let rows =
            sqlx::query(sqlx::AssertSqlSafe(sql)).bind(golfer.as_str()).fetch_all(&mut *connection).await?;
        for row in rows {
            records.extend(Id::parse(&row.try_get::<String, _>("id")?));
        }
    }
    let mut acts: BTreeSet<Id> = ids(connection, OWN_ACTS, golfer).await?.into_iter().collect();
    for record in &records {
        acts.extend(ids(connection, ACTS, record).await?);
        sqlx::query(DROP_CHANGES).bind(record.as_str()).execute(&mut *connection).await?;
    }
    for erased in &acts {
        sqlx::query(DROP_CHANGES_OF).bind(erased.as_str()).execute(&mut *connection).await?;
        sqlx::query(EMPTY_ACT).bind(act.as_str()).bind(erased.as_str()).execute(&mut *connection).await?;
    }
    for (table, _) in TABLES {
        let sql = format!("DELETE FROM {table} WHERE golfer_id = $1");
        sqlx::query(sqlx::AssertSqlSafe(sql)).bind(golfer.as_str()).execute(&mut *connection).await?;
    }
    let mut stays = false;
    for job in jobs_of(connection, golfer).await? {
        if job.was_agreed() {
            stays = true;
            put(connection, Record::Job(job.erased()), seq).await?;
        } else {
            let sql = "DELETE FROM job WHERE id = $1";
            sqlx::query(sql).bind(job.id.as_str()).execute(&mut *connection).await?;
        }
    }
    if stays {
        put(connection, Record::Golfer(file.erased()), seq).await?;
    } else {
        let sql = "DELETE FROM golfer WHERE id = $1";
        sqlx::query(sql).bind(golfer.as_str()).execute(&mut *connection).await?;
    }
    sqlx::query(WRITE_ACT)
        .bind(act.as_str())
        .bind(seq)
        .bind(by)
        .bind(now_ms.unwrap_or(newest_ms))
        .bind(format!("forget {golfer}"))
        .execute(&mut *connection)
        .await?;
    Ok((seq, photos))
}

async fn ids(connection: &mut AnyConnection, sql: &'static str, of: &Id) -> Result<Vec<Id>, StoreError> {
    let rows = sqlx::query(sql).bind(of.as_str()).fetch_all(&mut *connection).await?;
    let texts: Result<Vec<String>, sqlx::Error> = rows.iter().map(|row| row.try_get(0)).collect();
    Ok(texts?.iter().filter_map(|text| Id::parse(text).ok()).collect())
}

/// Writes what is left of a record over it.
async fn put(connection: &mut AnyConnection, record: Record, seq: i64) -> Result<(), StoreError> {
    let table = table_of(record.kind());
    let row =
        sqlx::query(table.by_id.as_str()).bind(record.id().as_str()).fetch_one(&mut *connection).await?;
    let revision = record_of(record.kind(), &row)?.revision + 1;
    let mut values = values_of(&record)?;
    values.extend([revision.into(), seq.into(), 0_i64.into()]);
    crate::columns::bound(&table.upsert, values).execute(&mut *connection).await?;
    Ok(())
}
