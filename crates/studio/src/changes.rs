//! A change: what one act of the fitter puts into the records, all of it or nothing.

use crate::{Id, Record};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A record as it shall be, and the revision the fitter saw.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Put {
    /// The record.
    pub record: Record,
    /// The revision it changes; `None` for a record that is new.
    pub seen: Option<i64>,
}

/// One act of the fitter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Changes {
    /// Its id: the same act sent twice counts once.
    pub id: Id,
    /// Who did it.
    pub by: String,
    /// What was done, in a sentence for the timeline.
    pub sentence: String,
    /// The records.
    pub puts: Vec<Put>,
    /// What was sent, where the records follow from it and from what was there: it tells two acts of one id apart.
    #[serde(skip)]
    pub sent: Option<String>,
}

impl Changes {
    /// Begins a change.
    #[must_use]
    pub fn new(id: Id, by: &str, sentence: impl Into<String>) -> Self {
        Self { id, by: by.to_owned(), sentence: sentence.into(), puts: Vec::new(), sent: None }
    }

    /// Adds a record that is new.
    #[must_use]
    pub fn with_new(mut self, record: impl Into<Record>) -> Self {
        self.add_new(record);
        self
    }

    /// Changes a record whose revision was seen.
    #[must_use]
    pub fn with_changed(mut self, record: impl Into<Record>, seen: i64) -> Self {
        self.add_changed(record, seen);
        self
    }

    /// The same in place.
    pub fn add_new(&mut self, record: impl Into<Record>) {
        self.puts.push(Put { record: record.into(), seen: None });
    }

    /// The same in place.
    pub fn add_changed(&mut self, record: impl Into<Record>, seen: i64) {
        self.puts.push(Put { record: record.into(), seen: Some(seen) });
    }

    /// Returns the golfer it is about, if one.
    #[must_use]
    pub fn golfer(&self) -> Option<&Id> {
        self.puts.iter().find_map(|put| put.record.golfer())
    }
}
