//! Reading: what is due, the timeline, changes since.

use crate::kinds::{Stored, kept, states_where};
use crate::{Store, StoreError};
use jiff::civil::Date;
use sqlx::{Any, Executor, Row};
use std::sync::LazyLock;
use studio::{FinishedWork, HouseSettings, Id, JobState, Kept, Record, RecordKind, TrialFile};

/// The jobs whose day has come, found by their state: of the days ever promised they are few.
static PROMISED: LazyLock<String> = LazyLock::new(|| {
    format!(
        "SELECT g.id AS golfer_id, g.name AS name, j.id AS job_id, j.number AS number, j.promised AS promised FROM job j JOIN \
         golfer g ON g.id = j.golfer_id WHERE j.promised <= $1 AND j.state IN ({}) AND j.removed = 0 AND g.removed = 0 ORDER \
         BY j.promised LIMIT 100",
        states_where(JobState::is_owed)
    )
});

/// Why a golfer is due today.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DueKind {
    /// A follow-up of today or before.
    FollowUp,
    /// The glue has cured.
    Cured,
    /// Parts are waited for.
    WaitingForParts,
    /// On the bench.
    OnTheBench,
    /// Ready to hand over.
    Ready,
    /// Promised for today or before, and not ready.
    Promised,
}

impl DueKind {
    /// Names it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::FollowUp => "follow-up",
            Self::Cured => "cured",
            Self::WaitingForParts => "waiting for parts",
            Self::OnTheBench => "on the bench",
            Self::Ready => "ready",
            Self::Promised => "promised",
        }
    }
}

/// A golfer who is due.
#[derive(Debug, Clone, PartialEq)]
pub struct Due {
    /// The golfer.
    pub golfer: Id,
    /// Their name.
    pub name: String,
    /// Why.
    pub kind: DueKind,
    /// The job, if one.
    pub job: Option<(Id, i64)>,
    /// Since when, or for when: a day.
    pub day: Option<Date>,
    /// When the glue has cured, milliseconds UTC.
    pub cured_ms: Option<i64>,
}

/// A line of the timeline.
#[derive(Debug, Clone, PartialEq)]
pub struct LogLine {
    /// The act.
    pub id: Id,
    /// Its place in the sequence.
    pub seq: i64,
    /// What was done.
    pub sentence: String,
    /// Who did it.
    pub by: String,
    /// When, milliseconds UTC.
    pub at_ms: i64,
    /// The golfer it is about.
    pub golfer: Option<Id>,
    /// Whether it was undone.
    pub is_undone: bool,
    /// Whether it undoes another.
    pub is_undoing: bool,
}

/// A record as it was at one revision.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordSeen {
    /// The act that made it so.
    pub act: Id,
    /// The record.
    pub record: Record,
}

impl Store {
    /// Reads the trials whose code was opened, in the order they were planned.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn opened_trials(&self) -> Result<Vec<TrialFile>, StoreError> {
        const SQL: &str = "SELECT * FROM trial WHERE opened IS NOT NULL AND removed = 0 ORDER BY seq, place";
        let rows = sqlx::query(SQL).fetch_all(&self.inner.readers).await?;
        rows.iter().map(|row| Ok(kept(row)?.record)).collect()
    }

    /// Reads the house's settings.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn house(&self) -> Result<Kept<HouseSettings>, StoreError> {
        house_of(&self.inner.readers).await
    }

    /// Finds a record of any kind.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn record(&self, kind: RecordKind, id: &Id) -> Result<Option<Kept<Record>>, StoreError> {
        let mut connection = self.inner.readers.acquire().await?;
        crate::write::find(&mut connection, kind, id).await
    }

    /// Tells whether an act was saved.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn knows(&self, act: &Id) -> Result<bool, StoreError> {
        const SQL: &str = "SELECT seq FROM change_set WHERE id = $1";
        Ok(sqlx::query(SQL).bind(act.as_str()).fetch_optional(&self.inner.readers).await?.is_some())
    }

    /// Returns what an act made of the records it touched.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn records_of(&self, act: &Id) -> Result<Vec<Record>, StoreError> {
        const SQL: &str = "SELECT after FROM change WHERE set_id = $1 ORDER BY place";
        let rows = sqlx::query(SQL).bind(act.as_str()).fetch_all(&self.inner.readers).await?;
        rows.iter().map(|row| Ok(serde_json::from_str(&row.try_get::<String, _>("after")?)?)).collect()
    }

    /// Finds a job by its number.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn job_numbered(&self, number: i64) -> Result<Option<(Id, Id)>, StoreError> {
        const SQL: &str = "SELECT id, golfer_id FROM job WHERE number = $1 AND removed = 0";
        let row = sqlx::query(SQL).bind(number).fetch_optional(&self.inner.readers).await?;
        row.map(|row| Ok((id_of(&row, "id")?, id_of(&row, "golfer_id")?))).transpose()
    }

    /// Counts the golfers that are not put away.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn count_golfers(&self) -> Result<i64, StoreError> {
        const SQL: &str = "SELECT CAST(COUNT(*) AS BIGINT) AS count FROM golfer WHERE removed = 0";
        Ok(sqlx::query(SQL).fetch_one(&self.inner.readers).await?.try_get("count")?)
    }

    /// Lists who is due: follow-ups up to today, and jobs that wait for a hand.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn due(&self, today: Date, now_ms: i64) -> Result<Vec<Due>, StoreError> {
        const FOLLOW_UPS: &str = "SELECT g.id AS golfer_id, g.name AS name, f.due AS due FROM follow_up f JOIN golfer g ON \
                                  g.id = f.golfer_id WHERE f.removed = 0 AND g.removed = 0 AND f.done IS NULL AND f.due <= \
                                  $1 ORDER BY f.due LIMIT 100";
        const JOBS: &str = "SELECT g.id AS golfer_id, g.name AS name, j.id AS job_id, j.number AS number, j.state AS state, \
                            j.cured_ms AS cured_ms FROM job j JOIN golfer g ON g.id = j.golfer_id WHERE j.state IN ('curing', \
                            'waiting for parts', 'on the bench', 'rework', 'ready') AND j.removed = 0 AND g.removed = 0 ORDER \
                            BY j.number LIMIT 200";
        let mut due = Vec::new();
        for row in sqlx::query(FOLLOW_UPS).bind(today.to_string()).fetch_all(&self.inner.readers).await? {
            due.push(Due {
                golfer: id_of(&row, "golfer_id")?,
                name: row.try_get("name")?,
                kind: DueKind::FollowUp,
                job: None,
                day: row.try_get::<String, _>("due")?.parse().ok(),
                cured_ms: None,
            });
        }
        for row in
            sqlx::query(PROMISED.as_str()).bind(today.to_string()).fetch_all(&self.inner.readers).await?
        {
            due.push(Due {
                golfer: id_of(&row, "golfer_id")?,
                name: row.try_get("name")?,
                kind: DueKind::Promised,
                job: Some((id_of(&row, "job_id")?, row.try_get("number")?)),
                day: row.try_get::<String, _>("promised")?.parse().ok(),
                cured_ms: None,
            });
        }
        for row in sqlx::query(JOBS).fetch_all(&self.inner.readers).await? {
            let cured_ms: Option<i64> = row.try_get("cured_ms")?;
            let kind = match row.try_get::<String, _>("state")?.as_str() {
                "curing" if cured_ms.is_some_and(|cured| cured > now_ms) => DueKind::OnTheBench,
                "curing" => DueKind::Cured,
                "waiting for parts" => DueKind::WaitingForParts,
                "ready" => DueKind::Ready,
                _ => DueKind::OnTheBench,
            };
            due.push(Due {
                golfer: id_of(&row, "golfer_id")?,
                name: row.try_get("name")?,
                kind,
                job: Some((id_of(&row, "job_id")?, row.try_get("number")?)),
                day: None,
                cured_ms,
            });
        }
        Ok(due)
    }

    /// Reads the work of every job with what was first read of its finished clubs.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn finished_work(&self) -> Result<Vec<FinishedWork>, StoreError> {
        const SQL: &str = "SELECT j.id AS job_id, j.work AS work, t.step AS step, t.value_si AS value_si, t.done AS done FROM job \
                           j JOIN tick t ON t.job_id = j.id WHERE j.removed = 0 AND t.removed = 0 ORDER BY j.seq, j.place, t.seq, \
                           t.place";
        let mut found: Vec<FinishedWork> = Vec::new();
        let mut last = String::new();
        for row in sqlx::query(SQL).fetch_all(&self.inner.readers).await? {
            let job: String = row.try_get("job_id")?;
            if job != last {
                let work = serde_json::from_str(&row.try_get::<String, _>("work")?)?;
                found.push(FinishedWork { work, readings: Vec::new() });
                last = job;
            }
            let (step, value): (String, Option<f64>) = (row.try_get("step")?, row.try_get("value_si")?);
            let Some(finished) = found.last_mut() else { continue };
            let is_first = finished.readings.iter().all(|(key, _)| *key != step);
            if is_first
                && let Some(value) =
                    value.filter(|_| row.try_get::<i64, _>("done").is_ok_and(|done| done != 0))
            {
                finished.readings.push((step, value));
            }
        }
        Ok(found)
    }

    /// Lists what was done, newest first; of one golfer, or of all.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn log(&self, golfer: Option<&Id>, most: i64) -> Result<Vec<LogLine>, StoreError> {
        const OF_ONE: &str = "SELECT id, seq, sentence, by_whom, at_ms, golfer_id, undoes, undone_by FROM change_set WHERE \
                              golfer_id = $1 ORDER BY seq DESC LIMIT $2";
        const OF_ALL: &str = "SELECT id, seq, sentence, by_whom, at_ms, golfer_id, undoes, undone_by FROM change_set ORDER BY \
                              seq DESC LIMIT $1";
        let rows = match golfer {
            Some(golfer) => {
                sqlx::query(OF_ONE).bind(golfer.as_str()).bind(most).fetch_all(&self.inner.readers).await?
            }
            None => sqlx::query(OF_ALL).bind(most).fetch_all(&self.inner.readers).await?,
        };
        rows.iter().map(log_line).collect()
    }

    /// Lists what was done after a place in the sequence, oldest first.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn log_since(&self, seq: i64, most: i64) -> Result<Vec<LogLine>, StoreError> {
        const SQL: &str = "SELECT id, seq, sentence, by_whom, at_ms, golfer_id, undoes, undone_by FROM change_set WHERE seq > \
                           $1 ORDER BY seq LIMIT $2";
        let rows = sqlx::query(SQL).bind(seq).bind(most).fetch_all(&self.inner.readers).await?;
        rows.iter().map(log_line).collect()
    }

    /// Returns what a record was, oldest first.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn history(&self, record: &Id) -> Result<Vec<RecordSeen>, StoreError> {
        const SQL: &str = "SELECT c.set_id AS set_id, c.after AS after FROM change c JOIN change_set s ON s.id = c.set_id WHERE \
                           c.record_id = $1 ORDER BY s.seq, c.place";
        let rows = sqlx::query(SQL).bind(record.as_str()).fetch_all(&self.inner.readers).await?;
        rows.iter()
            .map(|row| {
                Ok(RecordSeen {
                    act: id_of(row, "set_id")?,
                    record: serde_json::from_str(&row.try_get::<String, _>("after")?)?,
                })
            })
            .collect()
    }
}

/// Reads the house's settings; the usual ones where none were kept.
pub(crate) async fn house_of(
    server: impl Executor<'_, Database = Any>,
) -> Result<Kept<HouseSettings>, StoreError> {
    let row = sqlx::query(HouseSettings::table().by_id.as_str())
        .bind(HouseSettings::fixed_id().as_str().to_owned())
        .fetch_optional(server)
        .await?;
    match row {
        Some(row) => kept(&row),
        None => Ok(Kept { record: HouseSettings::usual(), revision: 0 }),
    }
}

fn id_of(row: &sqlx::any::AnyRow, column: &str) -> Result<Id, StoreError> {
    let text: String = row.try_get(column)?;
    Id::parse(&text).map_err(|error| StoreError::Failed(error.to_string()))
}

fn log_line(row: &sqlx::any::AnyRow) -> Result<LogLine, StoreError> {
    Ok(LogLine {
        id: id_of(row, "id")?,
        seq: row.try_get("seq")?,
        sentence: row.try_get("sentence")?,
        by: row.try_get("by_whom")?,
        at_ms: row.try_get("at_ms")?,
        golfer: row.try_get::<Option<String>, _>("golfer_id")?.and_then(|text| Id::parse(&text).ok()),
        is_undone: row.try_get::<Option<String>, _>("undone_by")?.is_some(),
        is_undoing: row.try_get::<Option<String>, _>("undoes")?.is_some(),
    })
}
