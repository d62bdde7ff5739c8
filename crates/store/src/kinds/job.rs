//! Jobs.

use super::{Stored, day, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use std::sync::LazyLock;
use studio::{JobFile, JobState, PartUse};

static TABLE: Table = LazyLock::new(|| {
    Statements::of(
        "job",
        &[
            "id",
            "golfer_id",
            "number",
            "state",
            "since_ms",
            "cured_ms",
            "note",
            "card",
            "work",
            "made_ms",
            "quote",
            "uses",
            "promised",
            "removed",
        ],
    )
});

impl Stored for JobFile {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        Ok(vec![
            self.id.as_str().into(),
            self.golfer.as_str().into(),
            self.number.into(),
            self.state.words().into(),
            self.since_ms.into(),
            self.cured_ms.into(),
            self.note.clone().into(),
            self.card.clone().into(),
            serde_json::to_string(&self.work)?.into(),
            self.made_ms.into(),
            self.quote.as_ref().map(serde_json::to_string).transpose()?.into(),
            uses_text(&self.uses)?.into(),
            self.promised.map(|day| day.to_string()).into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        Ok(Self {
            id: row.formed("id", id)?,
            golfer: row.formed("golfer_id", id)?,
            number: row.int("number")?,
            state: row.formed("state", JobState::from_words)?,
            since_ms: row.int("since_ms")?,
            cured_ms: row.some_int("cured_ms")?,
            note: row.some_text("note")?,
            card: row.text("card")?,
            work: serde_json::from_str(&row.text("work")?)?,
            made_ms: row.int("made_ms")?,
            quote: row.some_text("quote")?.map(|text| serde_json::from_str(&text)).transpose()?,
            uses: row
                .some_text("uses")?
                .map(|text| serde_json::from_str(&text))
                .transpose()?
                .unwrap_or_default(),
            promised: row.some_formed("promised", day)?,
            removed: row.flag("removed")?,
        })
    }
}

/// A job that takes nothing from the shelf has nothing written down.
fn uses_text(uses: &[PartUse]) -> Result<Option<String>, StoreError> {
    Ok((!uses.is_empty()).then(|| serde_json::to_string(uses)).transpose()?)
}

/// The states of which something is true, as a list in a statement; an index on the state finds them.
pub(crate) fn states_where(is_so: fn(JobState) -> bool) -> String {
    let states: Vec<String> = JobState::ALL
        .iter()
        .filter(|state| is_so(**state))
        .map(|state| format!("'{}'", state.words()))
        .collect();
    states.join(", ")
}
