//! For tests: new ids, and the lines the store writes into the log.

use std::io::Read;
use std::sync::Mutex;
use studio::Id;
use tracing::subscriber::{DefaultGuard, set_default};

pub(crate) fn new_id() -> Id {
    Id::parse(&uuid::Uuid::now_v7().to_string()).unwrap()
}

/// What the store tells on this thread while it is held.
pub(crate) struct Told {
    lines: tempfile::NamedTempFile,
    _guard: DefaultGuard,
}

impl Told {
    pub(crate) fn on_this_thread() -> Self {
        let lines = tempfile::NamedTempFile::new().unwrap();
        let log = Mutex::new(lines.reopen().unwrap());
        let _guard =
            set_default(tracing_subscriber::fmt().json().flatten_event(true).with_writer(log).finish());
        Self { lines, _guard }
    }

    /// A number that stands in each line of a message.
    pub(crate) fn numbers_of(&self, message: &str, field: &str) -> Vec<i64> {
        let mut told = String::new();
        self.lines.reopen().unwrap().read_to_string(&mut told).unwrap();
        let lines = told.lines().map(|line| serde_json::from_str::<serde_json::Value>(line).unwrap());
        lines.filter(|line| line["message"] == message).map(|line| line[field].as_i64().unwrap()).collect()
    }
}
