//! Golfers nobody worked on for long: listed for a look, never removed by themselves.

use crate::{Store, StoreError};
use sqlx::Row;
use studio::Id;

const SILENT: &str = "SELECT golfer.id, golfer.name, change_set.at_ms FROM golfer JOIN change_set ON change_set.seq = golfer.seq \
                      WHERE change_set.at_ms < $1 AND NOT (golfer.removed = 1 AND golfer.name = 'erased') ORDER BY change_set.at_ms LIMIT 500";

/// A golfer nobody worked on for long.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Silent {
    /// The golfer.
    pub id: Id,
    /// Their name.
    pub name: String,
    /// When something was last written of them, milliseconds since 1970.
    pub last_ms: i64,
}

impl Store {
    /// Lists golfers of whom nothing was written since an instant, the longest silent first; five hundred at most.
    ///
    /// # Errors
    /// When the studio cannot be read.
    pub async fn silent_since(&self, before_ms: i64) -> Result<Vec<Silent>, StoreError> {
        let rows = sqlx::query(SILENT).bind(before_ms).fetch_all(&self.inner.readers).await?;
        let read = |row: &sqlx::any::AnyRow| {
            let id: String = row.try_get("id")?;
            let id = Id::parse(&id).map_err(|error| StoreError::Failed(error.to_string()))?;
            Ok(Silent { id, name: row.try_get("name")?, last_ms: row.try_get("at_ms")? })
        };
        rows.iter().map(read).collect()
    }
}
