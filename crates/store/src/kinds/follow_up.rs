//! Follow-ups.

use super::{Stored, day, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use std::sync::LazyLock;
use studio::FollowUp;

static TABLE: Table = LazyLock::new(|| {
    Statements::of("follow_up", &["id", "golfer_id", "job_id", "due", "what", "done", "found", "removed"])
});

impl Stored for FollowUp {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        Ok(vec![
            self.id.as_str().into(),
            self.golfer.as_str().into(),
            self.job.as_ref().map(ToString::to_string).into(),
            self.due.to_string().into(),
            self.what.clone().into(),
            self.done.map(|day| day.to_string()).into(),
            self.found.clone().into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        Ok(Self {
            id: row.formed("id", id)?,
            golfer: row.formed("golfer_id", id)?,
            job: row.some_formed("job_id", id)?,
            due: row.formed("due", day)?,
            what: row.some_text("what")?,
            done: row.some_formed("done", day)?,
            found: row.some_text("found")?,
            removed: row.flag("removed")?,
        })
    }
}
