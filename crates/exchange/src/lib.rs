//! What goes out of a studio and comes into it as files.
//!
//! Out: everything of one golfer ([`archive()`]), the studio file ([`export_json`]), tables for a spreadsheet ([`export_csv`]), days for a calendar
//! ([`follow_up_ics`], [`job_ics`]), the shelf as a table or workbook ([`shelf_csv`], [`shelf_workbook`]). In: the studio file ([`import_json`]) and a golfer's clubs from anybody's spreadsheet
//! ([`sniff`] from a text, [`read_sheet`] from a workbook; [`guess_columns`], [`read_clubs`], [`to_changes`]). The shelf comes in too ([`read_shelf`]). Both ways: the strikes of a trial ([`strike_file`], [`read_strikes`]). Bytes or text come in and records go out, or the
//! reverse; what is refused is refused whole, with its place. Ids, the day and the time come in as arguments. Pure.
//! The formats are described in `docs/exchange.md`.

mod archive;
mod calendar;
mod clubs;
mod columns;
mod error;
mod guard;
mod outgoing;
mod shelf;
mod spreadsheet;
mod strikes;
mod studio_file;
mod tables;
mod unit;
mod workbook;

pub use archive::archive;
pub use calendar::{JobDates, follow_up_ics, job_ics};
pub use clubs::{CellProblem, ClubRules, ImportedClub, MOST_CLUBS, MOST_PROBLEMS, read_clubs, to_changes};
pub use columns::{Column, guess_columns};
pub use error::{ExchangeError, RaggedRow};
pub use guard::{guarded, unguarded};
pub use outgoing::HealthRemarks;
pub use shelf::{ShelfRow, read_shelf, shelf_csv, shelf_workbook};
pub use spreadsheet::{
    Encoding, LARGEST_TABLE, LONGEST_CELL, MOST_COLUMNS, MOST_ROWS, Row, Separator, Source, Table,
    file_shape, sniff,
};
pub use strikes::{Decimals, StrikeFile, read_strikes, strike_file};
pub use studio_file::{
    FORMAT, ImportedGolfer, ImportedStudio, LARGEST_STUDIO_FILE, LONGEST_CARD, LONGEST_TEXT, MOST_GOLFERS,
    VERSION, export_json, import_json,
};
pub use tables::{CsvFile, export_csv};
pub use unit::HeaderUnit;
pub use workbook::{Sheet, WorkbookProblem, is_workbook, read_sheet};
