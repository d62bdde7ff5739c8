//! The shelf as a table: out for a spreadsheet or an order, in from one.
//!
//! One row a part, sizes in the units a bench reads: diameter and length in inches, mass in grams (an inch of it for a
//! tape), cost in whole units and cents. What comes in is matched by the words of its header; a part of the same kind and
//! name is the same part.

mod incoming;
mod outgoing;

pub use incoming::{ShelfRow, read_shelf};
pub use outgoing::{shelf_csv, shelf_workbook};

/// The columns of the table, in their order.
const COLUMNS: [&str; 10] = [
    "kind",
    "name",
    "diameter (in)",
    "length (in)",
    "mass (g)",
    "cost",
    "at hand",
    "put aside",
    "low at",
    "note",
];
