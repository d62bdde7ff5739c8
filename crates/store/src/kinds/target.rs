//! Targets that were kept.

use super::{Stored, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use std::sync::LazyLock;
use studio::KeptTarget;

static TABLE: Table = LazyLock::new(|| {
    Statements::of(
        "target",
        &["id", "golfer_id", "six_iron_in", "half_width_in", "words", "card", "by_whom", "at_ms", "removed"],
    )
});

impl Stored for KeptTarget {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        Ok(vec![
            self.id.as_str().into(),
            self.golfer.as_str().into(),
            self.six_iron_in.into(),
            self.half_width_in.into(),
            self.words.clone().into(),
            self.card.clone().into(),
            self.by.clone().into(),
            self.at_ms.into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        Ok(Self {
            id: row.formed("id", id)?,
            golfer: row.formed("golfer_id", id)?,
            six_iron_in: row.real("six_iron_in")?,
            half_width_in: row.real("half_width_in")?,
            words: row.text("words")?,
            card: row.text("card")?,
            by: row.text("by_whom")?,
            at_ms: row.int("at_ms")?,
            removed: row.flag("removed")?,
        })
    }
}
