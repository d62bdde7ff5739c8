//! Parts that came to the shelf and went.

use super::{Stored, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use std::sync::LazyLock;
use studio::{StockMove, StockWhy};

static TABLE: Table = LazyLock::new(|| {
    Statements::of(
        "stock",
        &["id", "part_id", "count", "piece_mg", "why", "job_id", "step", "by_whom", "at_ms", "removed"],
    )
});

impl Stored for StockMove {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        Ok(vec![
            self.id.as_str().into(),
            self.part.as_str().into(),
            self.count.into(),
            self.piece_mg.into(),
            self.why.words().into(),
            self.job.as_ref().map(ToString::to_string).into(),
            self.step.clone().into(),
            self.by.clone().into(),
            self.at_ms.into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        Ok(Self {
            id: row.formed("id", id)?,
            part: row.formed("part_id", id)?,
            count: row.int("count")?,
            piece_mg: row.some_int("piece_mg")?,
            why: row.formed("why", StockWhy::from_words)?,
            job: row.some_formed("job_id", id)?,
            step: row.some_text("step")?,
            by: row.text("by_whom")?,
            at_ms: row.int("at_ms")?,
            removed: row.flag("removed")?,
        })
    }
}
