//! Golfers.

use super::{Stored, day, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use std::sync::LazyLock;
use studio::{Consent, GolferFile, digits, folded};

static TABLE: Table = LazyLock::new(|| {
    Statements::of(
        "golfer",
        &[
            "id",
            "name",
            "name_folded",
            "contact",
            "contact_digits",
            "plays",
            "sex",
            "born",
            "consent_by",
            "consent_day",
            "consent_how",
            "overruled",
            "hold",
            "removed",
        ],
    )
});

impl Stored for GolferFile {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        let consent = self.consent.as_ref();
        Ok(vec![
            self.id.as_str().into(),
            self.name.clone().into(),
            folded(&self.name).into(),
            self.contact.clone().into(),
            digits(self.contact.as_deref().unwrap_or_default()).into(),
            self.plays.words().into(),
            self.sex_word().into(),
            self.born.map(|born| born.to_string()).into(),
            consent.map(|consent| consent.by.clone()).into(),
            consent.map(|consent| consent.day.to_string()).into(),
            consent.map(|consent| consent.how.clone()).into(),
            self.overruled.clone().into(),
            self.hold.clone().into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        let consent = match (
            row.some_text("consent_by")?,
            row.some_formed("consent_day", day)?,
            row.some_text("consent_how")?,
        ) {
            (Some(by), Some(day), Some(how)) => Some(Consent { by, day, how }),
            _ => None,
        };
        Ok(Self {
            id: row.formed("id", id)?,
            name: row.text("name")?,
            contact: row.some_text("contact")?,
            plays: row.formed("plays", Self::plays_from)?,
            sex: row.formed("sex", Self::sex_from)?,
            born: row.some_formed("born", day)?,
            consent,
            overruled: row.some_text("overruled")?,
            hold: row.some_text("hold")?,
            removed: row.flag("removed")?,
        })
    }
}
