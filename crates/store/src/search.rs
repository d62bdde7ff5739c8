//! The search: golfers by what is typed, each with what a list shows of them, in one question to the store.

use crate::kinds::kept;
use crate::{Store, StoreError};
use sqlx::Row;
use sqlx::any::AnyRow;
use studio::{GolferFile, JobState, digits, folded};

/// A golfer found by the search.
#[derive(Debug, Clone, PartialEq)]
pub struct Hit {
    /// The golfer.
    pub golfer: GolferFile,
    /// The state and number of the last job, if there is one.
    pub job: Option<(i64, JobState)>,
    /// Whether a knuckle height was read.
    pub is_measured: bool,
}

/// The golfers found, cut to as many as are shown before their jobs and readings are looked for; as one text.
macro_rules! golfers_found {
    ($found:literal, $order:literal, $most:literal) => {
        concat!(
            "SELECT found.*, (SELECT MAX(number) FROM job WHERE golfer_id = found.id AND removed = 0) AS job_number, \
             (SELECT state FROM job WHERE golfer_id = found.id AND removed = 0 ORDER BY number DESC LIMIT 1) AS job_state, \
             (SELECT CAST(COUNT(*) AS BIGINT) FROM reading WHERE golfer_id = found.id AND field = 'knuckle_height' AND \
             removed = 0) AS measured FROM (SELECT id, name, name_folded, contact, plays, sex, born, consent_by, consent_day, \
             consent_how, overruled, hold, removed, revision, seq FROM golfer WHERE removed = 0 ",
            $found,
            " ORDER BY ",
            $order,
            " LIMIT ",
            $most,
            ") AS found ORDER BY ",
            $order
        )
    };
}

const RECENT: &str = golfers_found!("", "seq DESC", "$1");
const FOUND: &str = golfers_found!(
    "AND (name_folded LIKE $1 ESCAPE '!' OR (LENGTH($2) > 2 AND contact_digits LIKE $3) OR id IN (SELECT golfer_id FROM job \
     WHERE number = $4 AND removed = 0))",
    "CASE WHEN name_folded LIKE $5 ESCAPE '!' THEN 0 ELSE 1 END, name_folded",
    "$6"
);

impl Store {
    /// Finds golfers by part of a name or contact, a telephone number, or a job's number; nothing typed gives those
    /// changed last.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn search(&self, typed: &str, most: i64) -> Result<Vec<Hit>, StoreError> {
        let typed = typed.trim();
        let rows = if typed.is_empty() {
            sqlx::query(RECENT).bind(most).fetch_all(&self.inner.readers).await?
        } else {
            let name = folded(typed).replace('!', "!!").replace('%', "!%").replace('_', "!_");
            let number = digits(typed);
            sqlx::query(FOUND)
                .bind(format!("%{name}%"))
                .bind(number.clone())
                .bind(format!("%{number}%"))
                .bind(number.parse::<i64>().unwrap_or(-1))
                .bind(format!("{name}%"))
                .bind(most)
                .fetch_all(&self.inner.readers)
                .await?
        };
        rows.iter().map(hit).collect()
    }
}

fn hit(row: &AnyRow) -> Result<Hit, StoreError> {
    let number: Option<i64> = row.try_get("job_number")?;
    let state: Option<String> = row.try_get("job_state")?;
    Ok(Hit {
        golfer: kept::<GolferFile>(row)?.record,
        job: number.zip(state.as_deref().and_then(JobState::from_words)),
        is_measured: row.try_get::<i64, _>("measured")? > 0,
    })
}
