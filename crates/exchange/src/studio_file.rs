//! The studio file: what a studio keeps, as one JSON document that comes back unchanged.
//!
//! It holds the records as they are now, in their own serde form, one a line; not their history and not the pictures
//! of photos. Golfers stand in the order of their ids and each list in the order in which it was written, which is
//! what decides the reading that counts. Reading is strict: what this version would not have written is refused.

mod amount;
mod check;
mod incoming;
mod outgoing;
mod record_lines;

pub use incoming::{ImportedGolfer, ImportedStudio, import_json};
pub use outgoing::export_json;

/// What a studio file says it is.
pub const FORMAT: &str = "lengthwise studio";
/// The version that is written and read.
pub const VERSION: u64 = 1;
/// Largest studio file that is read, bytes. Definition of what the tool takes.
pub const LARGEST_STUDIO_FILE: usize = 64 * 1024 * 1024;
/// Most golfers that are read. Definition of what the tool takes.
pub const MOST_GOLFERS: usize = 20_000;
/// Most values that are read: a studio's take nine bytes of the file and more, each. Definition of what the tool takes.
const MOST_VALUES: usize = 8_000_000;
/// Largest record that is read, bytes: a job with the longest card in it has room. Definition of what the tool takes.
const LARGEST_RECORD: usize = 2 * 1024 * 1024;
/// Longest text of a record that is read, characters; names are shorter. Definition of what the tool takes.
pub const LONGEST_TEXT: usize = 4_000;
/// Longest fitting card that is read, characters. Definition of what the tool takes.
pub const LONGEST_CARD: usize = 256 * 1024;
