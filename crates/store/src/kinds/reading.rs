//! Readings.

use super::{Stored, day, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use std::sync::LazyLock;
use studio::{Field, Reading};

static TABLE: Table = LazyLock::new(|| {
    Statements::of(
        "reading",
        &[
            "id",
            "golfer_id",
            "club_id",
            "job_id",
            "field",
            "typed",
            "value_si",
            "shoes",
            "instrument",
            "by_whom",
            "day",
            "at_ms",
            "removed",
        ],
    )
});

impl Stored for Reading {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        Ok(vec![
            self.id.as_str().into(),
            self.golfer.as_str().into(),
            self.club.as_ref().map(ToString::to_string).into(),
            self.job.as_ref().map(ToString::to_string).into(),
            self.field.key().into(),
            self.typed.clone().into(),
            self.value_si.into(),
            self.shoes_word().map(str::to_owned).into(),
            self.instrument.clone().into(),
            self.by.clone().into(),
            self.day.to_string().into(),
            self.at_ms.into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        Ok(Self {
            id: row.formed("id", id)?,
            golfer: row.formed("golfer_id", id)?,
            club: row.some_formed("club_id", id)?,
            job: row.some_formed("job_id", id)?,
            field: row.formed("field", Field::from_key)?,
            typed: row.text("typed")?,
            value_si: row.some_real("value_si")?,
            shoes: row.some_formed("shoes", Self::shoes_from)?,
            instrument: row.some_text("instrument")?,
            by: row.text("by_whom")?,
            day: row.formed("day", day)?,
            at_ms: row.int("at_ms")?,
            removed: row.flag("removed")?,
        })
    }
}
