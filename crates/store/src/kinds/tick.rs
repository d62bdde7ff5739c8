//! Ticks of jobs.

use super::{Stored, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use std::sync::LazyLock;
use studio::Tick;

static TABLE: Table = LazyLock::new(|| {
    Statements::of(
        "tick",
        &["id", "golfer_id", "job_id", "step", "done", "typed", "value_si", "by_whom", "at_ms", "removed"],
    )
});

impl Stored for Tick {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        Ok(vec![
            self.id.as_str().into(),
            self.golfer.as_str().into(),
            self.job.as_str().into(),
            self.step.clone().into(),
            self.done.into(),
            self.typed.clone().into(),
            self.value_si.into(),
            self.by.clone().into(),
            self.at_ms.into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        Ok(Self {
            id: row.formed("id", id)?,
            golfer: row.formed("golfer_id", id)?,
            job: row.formed("job_id", id)?,
            step: row.text("step")?,
            done: row.flag("done")?,
            typed: row.some_text("typed")?,
            value_si: row.some_real("value_si")?,
            by: row.text("by_whom")?,
            at_ms: row.int("at_ms")?,
            removed: row.flag("removed")?,
        })
    }
}
