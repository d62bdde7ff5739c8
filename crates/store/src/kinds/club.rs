//! Clubs.

use super::{Stored, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use std::sync::LazyLock;
use studio::OwnedClub;

static TABLE: Table =
    LazyLock::new(|| Statements::of("club", &["id", "golfer_id", "name", "way", "removed"]));

impl Stored for OwnedClub {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        Ok(vec![
            self.id.as_str().into(),
            self.golfer.as_str().into(),
            self.name.clone().into(),
            self.way.clone().into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        Ok(Self {
            id: row.formed("id", id)?,
            golfer: row.formed("golfer_id", id)?,
            name: row.text("name")?,
            way: row.some_text("way")?,
            removed: row.flag("removed")?,
        })
    }
}
