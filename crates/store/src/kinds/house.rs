//! The house's settings.

use super::{Stored, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use std::sync::LazyLock;
use studio::HouseSettings;

static TABLE: Table =
    LazyLock::new(|| Statements::of("house", &["id", "settings", "matchings", "learnt_rule", "removed"]));

impl Stored for HouseSettings {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        Ok(vec![
            self.id.as_str().into(),
            serde_json::to_string(&self.values)?.into(),
            serde_json::to_string(&self.matchings)?.into(),
            self.learnt_rule.as_ref().map(serde_json::to_string).transpose()?.into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        Ok(Self {
            id: row.formed("id", id)?,
            values: serde_json::from_str(&row.text("settings")?)?,
            matchings: serde_json::from_str(&row.text("matchings")?)?,
            learnt_rule: row.some_text("learnt_rule")?.map(|text| serde_json::from_str(&text)).transpose()?,
            removed: row.flag("removed")?,
        })
    }
}
