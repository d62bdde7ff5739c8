//! Parts on the shelf.

use super::{Stored, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use bench::PartKind;
use std::sync::LazyLock;
use studio::{Money, StockedPart};

static TABLE: Table = LazyLock::new(|| {
    Statements::of(
        "part",
        &[
            "id",
            "kind",
            "name",
            "diameter_m",
            "length_m",
            "mass_kg",
            "cost_cents",
            "low_at",
            "note",
            "removed",
        ],
    )
});

impl Stored for StockedPart {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        Ok(vec![
            self.id.as_str().into(),
            self.kind.words().into(),
            self.name.clone().into(),
            self.diameter_m.into(),
            self.length_m.into(),
            self.mass_kg.into(),
            self.cost.map(Money::as_cents).into(),
            i64::from(self.low_at).into(),
            self.note.clone().into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        Ok(Self {
            id: row.formed("id", id)?,
            kind: row.formed("kind", PartKind::from_words)?,
            name: row.text("name")?,
            diameter_m: row.some_real("diameter_m")?,
            length_m: row.some_real("length_m")?,
            mass_kg: row.some_real("mass_kg")?,
            cost: row.some_int("cost_cents")?.map(Money::cents),
            low_at: row.small("low_at")?,
            note: row.some_text("note")?,
            removed: row.flag("removed")?,
        })
    }
}
