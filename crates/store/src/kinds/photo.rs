//! Photos: what is known of them; the pictures are files.

use super::{Stored, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use std::sync::LazyLock;
use studio::Photo;

static TABLE: Table = LazyLock::new(|| {
    Statements::of(
        "photo",
        &["id", "golfer_id", "club_id", "caption", "bytes", "width", "height", "by_whom", "at_ms", "removed"],
    )
});

impl Stored for Photo {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        Ok(vec![
            self.id.as_str().into(),
            self.golfer.as_str().into(),
            self.club.as_ref().map(ToString::to_string).into(),
            self.caption.clone().into(),
            self.bytes.into(),
            self.width.into(),
            self.height.into(),
            self.by.clone().into(),
            self.at_ms.into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        Ok(Self {
            id: row.formed("id", id)?,
            golfer: row.formed("golfer_id", id)?,
            club: row.some_formed("club_id", id)?,
            caption: row.some_text("caption")?,
            bytes: row.int("bytes")?,
            width: row.int("width")?,
            height: row.int("height")?,
            by: row.text("by_whom")?,
            at_ms: row.int("at_ms")?,
            removed: row.flag("removed")?,
        })
    }
}
