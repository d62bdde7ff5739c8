//! Remarks.

use super::{Stored, day, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use std::sync::LazyLock;
use studio::Remark;

static TABLE: Table = LazyLock::new(|| {
    Statements::of("remark", &["id", "golfer_id", "text", "health_consent", "by_whom", "at_ms", "removed"])
});

impl Stored for Remark {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        Ok(vec![
            self.id.as_str().into(),
            self.golfer.as_str().into(),
            self.text.clone().into(),
            self.health_consent.map(|day| day.to_string()).into(),
            self.by.clone().into(),
            self.at_ms.into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        Ok(Self {
            id: row.formed("id", id)?,
            golfer: row.formed("golfer_id", id)?,
            text: row.text("text")?,
            health_consent: row.some_formed("health_consent", day)?,
            by: row.text("by_whom")?,
            at_ms: row.int("at_ms")?,
            removed: row.flag("removed")?,
        })
    }
}
