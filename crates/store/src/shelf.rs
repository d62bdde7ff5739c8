//! The shelf: what it holds, read in one go, and that nothing goes off it that is not there.

use crate::kinds::{kept, states_where, table_of};
use crate::{Refusal, Store, StoreError};
use sqlx::{AnyConnection, Row};
use std::collections::BTreeSet;
use std::sync::LazyLock;
use studio::{
    Booked, Changes, Id, JobState, PartUse, PutAside, Record, RecordKind, Shelf, ShelfRecords, StockMove,
    StockedPart,
};

const PARTS: &str = "SELECT * FROM part ORDER BY seq, place";
const COUNTS: &str = "SELECT part_id, piece_mg, CAST(SUM(count) AS BIGINT) AS count FROM stock WHERE removed = 0 GROUP BY \
                      part_id, piece_mg";
/// The jobs that put parts aside, found by their state: of the jobs ever done they are few.
static JOBS: LazyLock<String> =
    LazyLock::new(|| format!("SELECT id, golfer_id, number, uses {}", those_that_put_aside()));
/// How often something was booked counts what was taken back too: the next id follows from it.
static BOOKED: LazyLock<String> = LazyLock::new(|| {
    format!(
        "SELECT part_id, job_id, step, piece_mg, CAST(SUM(CASE WHEN removed = 0 THEN count ELSE 0 END) AS BIGINT) AS count, \
         CAST(COUNT(*) AS BIGINT) AS times FROM stock WHERE step IS NOT NULL AND job_id IN (SELECT id {} UNION SELECT \
         CAST($1 AS TEXT)) GROUP BY part_id, job_id, step, piece_mg",
        those_that_put_aside()
    )
});
const LEAST: &str = "SELECT CAST(COALESCE(MIN(left_over), 0) AS BIGINT) AS least FROM (SELECT SUM(count) AS left_over FROM stock \
                     WHERE part_id = $1 AND removed = 0 GROUP BY piece_mg) AS counts";
const ALL_MOVES: &str = "SELECT * FROM stock ORDER BY seq, place";
const MOVES: &str = "SELECT * FROM stock WHERE part_id = $1 ORDER BY seq DESC, place LIMIT $2";

impl Store {
    /// Reads the shelf: parts, counts, what open jobs put aside and what they took.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn shelf(&self) -> Result<Shelf, StoreError> {
        self.shelf_with("").await
    }

    /// Reads the shelf with what one job took, open or not.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn shelf_for(&self, job: &Id) -> Result<Shelf, StoreError> {
        self.shelf_with(job.as_str()).await
    }

    async fn shelf_with(&self, job: &str) -> Result<Shelf, StoreError> {
        let mut moment = self.one_moment().await?;
        let parts = sqlx::query(PARTS).fetch_all(&mut *moment).await?;
        let mut shelf = Shelf {
            parts: parts.iter().map(kept::<StockedPart>).collect::<Result<_, _>>()?,
            ..Shelf::default()
        };
        for row in sqlx::query(COUNTS).fetch_all(&mut *moment).await? {
            let key = (id_of(row.try_get("part_id")?)?, row.try_get("piece_mg")?);
            shelf.counts.insert(key, row.try_get("count")?);
        }
        for row in sqlx::query(JOBS.as_str()).fetch_all(&mut *moment).await? {
            let uses: Vec<PartUse> = serde_json::from_str(&row.try_get::<String, _>("uses")?)?;
            shelf.put_aside.push(PutAside {
                job: id_of(row.try_get("id")?)?,
                golfer: id_of(row.try_get("golfer_id")?)?,
                number: row.try_get("number")?,
                uses,
            });
        }
        for row in sqlx::query(BOOKED.as_str()).bind(job).fetch_all(&mut *moment).await? {
            let times: i64 = row.try_get("times")?;
            shelf.booked.push(Booked {
                part: id_of(row.try_get("part_id")?)?,
                job: id_of(row.try_get("job_id")?)?,
                step: row.try_get("step")?,
                piece_mg: row.try_get("piece_mg")?,
                taken: -row.try_get::<i64, _>("count")?,
                times: usize::try_from(times).unwrap_or_default(),
            });
        }
        moment.commit().await?;
        Ok(shelf)
    }

    /// Lists what came and went of a part, newest first.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn stock_moves(&self, part: &Id, most: i64) -> Result<Vec<StockMove>, StoreError> {
        let rows = sqlx::query(MOVES).bind(part.as_str()).bind(most).fetch_all(&self.inner.readers).await?;
        rows.iter().map(|row| Ok(kept::<StockMove>(row)?.record)).collect()
    }
}

/// Reads the shelf as it is kept, with all that ever came and went.
pub(crate) async fn shelf_records_of(connection: &mut AnyConnection) -> Result<ShelfRecords, StoreError> {
    let parts = sqlx::query(PARTS).fetch_all(&mut *connection).await?;
    let moves = sqlx::query(ALL_MOVES).fetch_all(&mut *connection).await?;
    Ok(ShelfRecords {
        parts: parts.iter().map(|row| Ok(kept(row)?.record)).collect::<Result<_, StoreError>>()?,
        moves: moves.iter().map(|row| Ok(kept(row)?.record)).collect::<Result<_, StoreError>>()?,
    })
}

/// Those that put parts aside, of the jobs.
fn those_that_put_aside() -> String {
    format!(
        "FROM job WHERE state IN ({}) AND uses IS NOT NULL AND removed = 0",
        states_where(JobState::puts_aside)
    )
}

fn id_of(text: String) -> Result<Id, StoreError> {
    Id::parse(&text).map_err(|error| StoreError::Failed(error.to_string()))
}

/// Refuses an act after which less than nothing of a part would be left, weighed pieces each for themselves; asked where
/// no other can write.
pub(crate) async fn refuse_less_than_nothing(
    connection: &mut AnyConnection,
    changes: &Changes,
) -> Result<(), StoreError> {
    let parts: BTreeSet<&Id> = changes
        .puts
        .iter()
        .filter_map(|put| match &put.record {
            Record::Stock(moved) => Some(&moved.part),
            _ => None,
        })
        .collect();
    for part in parts {
        let least: i64 =
            sqlx::query(LEAST).bind(part.as_str()).fetch_one(&mut *connection).await?.try_get("least")?;
        if least < 0 {
            let sql = table_of(RecordKind::Part).by_id.as_str();
            let row = sqlx::query(sql).bind(part.as_str()).fetch_optional(&mut *connection).await?;
            let name = row.map(|row| row.try_get("name")).transpose()?.unwrap_or_default();
            return Err(Refusal::NotOnTheShelf { name, missing: -least }.into());
        }
    }
    Ok(())
}
