//! The store: every record of the studio in one file, or in a PostgreSQL database by URL.
//!
//! One write path ([`Store::save`]): an act of the fitter is one transaction, acknowledged only when it is on disk,
//! counted once however often it is sent, refused when a record was changed meanwhile, and kept in a history from
//! which it can be undone. The same SQL serves both servers. The store maps records and owns no rules.

mod address;
mod backup;
mod chain;
mod columns;
mod connect;
mod definitions;
mod dossier;
mod error;
mod file;
mod forget;
mod health;
mod host_file;
#[cfg(test)]
mod in_tests;
mod instants;
mod kinds;
mod lock;
mod manifest;
mod moment;
mod only_read;
#[cfg(test)]
mod open_files;
mod own_number;
mod photos;
mod private;
mod read;
mod restore;
mod rotation;
mod salvage;
mod schema;
mod search;
mod server;
mod settings;
mod shelf;
mod silent;
mod undo;
mod whole;
mod write;

pub use address::Address;
pub use backup::{Backup, Checked};
pub use chain::{Branch, Chain, Place};
pub use connect::{Manner, Store};
pub use error::{Refusal, StoreError};
pub use file::{Found, look_at};
pub use forget::Forgetting;
pub use host_file::{HostFile, Stamp};
pub use instants::ClockStands;
pub use lock::ServerLock;
pub use moment::Everything;
pub use only_read::OnlyRead;
pub use photos::Photos;
pub use read::{Due, DueKind, LogLine, RecordSeen};
pub use restore::{Newer, Restored, restore};
pub use salvage::{Salvaged, salvage};
pub use search::Hit;
pub use silent::Silent;
pub use write::Saved;
