//! Taking back the consent to remarks about health: they go at once, with their history; nothing else of the golfer does.

use super::{ACTS, DROP_CHANGES, EMPTY_ACT, Erasing, golfer_of, ids, next};
use crate::forget::wishes::Wishes;
use crate::{Refusal, Store, StoreError};
use sqlx::{AnyConnection, Row};
use std::collections::{BTreeMap, BTreeSet};
use studio::Id;

/// Also those that were undone: their words are in the history.
const OF_HEALTH: &str = "SELECT id FROM remark WHERE golfer_id = $1 AND health_consent IS NOT NULL";
const KNOWN: &str = "SELECT seq FROM change_set WHERE id = $1";
const WHOSE: &str = "SELECT golfer_id FROM remark WHERE id = $1";
const LEFT_IN_ACT: &str = "SELECT CAST(COUNT(*) AS BIGINT) AS count FROM change WHERE set_id = $1";
const DROP_REMARK: &str = "DELETE FROM remark WHERE id = $1";
/// It stands in the golfer's history, and cannot be undone: it is marked as undone by itself.
const WRITE_ACT: &str = "INSERT INTO change_set (id, seq, golfer_id, by_whom, sentence, at_ms, digest, undone_by) \
                         VALUES ($1, $2, $3, $4, 'Remarks about health erased: the consent was taken back', $5, $6, $1)";

impl Store {
    /// Erases a golfer's remarks about health for good, with their history; `act` is the id of the erasing. Tells how many
    /// they were. Copies made before still hold them: they are erased again when one is brought back on this machine.
    ///
    /// # Errors
    /// [`Refusal::NotThere`] without such a golfer; whatever stops a write.
    pub async fn take_back_health_consent(
        &self,
        golfer: &Id,
        act: Id,
        by: &str,
        now_ms: i64,
    ) -> Result<usize, StoreError> {
        self.refuse_when_only_read()?;
        self.refuse_when_stopped()?;
        if self.knows(&act).await? {
            // sent again: what it erased is gone, and what was agreed to since is not meant
            return Ok(0);
        }
        let mut connection = self.inner.readers.acquire().await?;
        golfer_of(&mut connection, golfer).await?.ok_or(Refusal::NotThere)?;
        let remarks = ids(&mut connection, OF_HEALTH, golfer).await?;
        drop(connection);
        if remarks.is_empty() {
            return Ok(0);
        }
        Wishes { remarks: remarks.clone(), ..Wishes::default() }.write_down(&self.inner.address)?;
        self.erase(&Erasing::Remarks(golfer, &remarks), &act, by, Some(now_ms)).await?;
        self.leave_no_trace().await?;
        Ok(remarks.len())
    }

    /// Erases what was written down and is still, or again, there; tells whether there was any.
    pub(super) async fn finish_taking_back(&self, remarks: &[Id]) -> Result<bool, StoreError> {
        let mut there: BTreeMap<Id, Vec<Id>> = BTreeMap::new();
        let mut connection = self.inner.readers.acquire().await?;
        for remark in remarks {
            for golfer in ids(&mut connection, WHOSE, remark).await? {
                there.entry(golfer).or_default().push(remark.clone());
            }
        }
        drop(connection);
        for (golfer, remarks) in &there {
            if let Some(first) = remarks.first() {
                let act = self.act_for(first).await?;
                self.erase(&Erasing::Remarks(golfer, remarks), &act, "forget", None).await?;
            }
        }
        Ok(!there.is_empty())
    }
}

/// Erases remarks and what the history says of them; gives the place of the act in the sequence.
pub(super) async fn erase_rows(
    connection: &mut AnyConnection,
    golfer: &Id,
    remarks: &[Id],
    act: &Id,
    by: &str,
    now_ms: Option<i64>,
) -> Result<i64, StoreError> {
    let known = sqlx::query(KNOWN).bind(act.as_str()).fetch_optional(&mut *connection).await?;
    if let Some(known) = known {
        // sent twice at the same moment
        return Ok(known.try_get("seq")?);
    }
    let (seq, newest_ms) = next(connection).await?;
    let mut acts = BTreeSet::new();
    for remark in remarks {
        acts.extend(ids(connection, ACTS, remark).await?);
        sqlx::query(DROP_CHANGES).bind(remark.as_str()).execute(&mut *connection).await?;
        sqlx::query(DROP_REMARK).bind(remark.as_str()).execute(&mut *connection).await?;
    }
    for touched in &acts {
        let left = sqlx::query(LEFT_IN_ACT).bind(touched.as_str()).fetch_one(&mut *connection).await?;
        // one that held other records too keeps them, and can still be undone
        if left.try_get::<i64, _>("count")? == 0 {
            sqlx::query(EMPTY_ACT)
                .bind(act.as_str())
                .bind(touched.as_str())
                .execute(&mut *connection)
                .await?;
        }
    }
    sqlx::query(WRITE_ACT)
        .bind(act.as_str())
        .bind(seq)
        .bind(golfer.as_str())
        .bind(by)
        .bind(now_ms.unwrap_or(newest_ms))
        .bind(format!("erase remarks of {golfer}"))
        .execute(&mut *connection)
        .await?;
    Ok(seq)
}
