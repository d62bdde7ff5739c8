//! Laws of what goes out and comes in: what is written reads back the same, whatever people typed into it; what is
//! broken is refused and never brings the program down.
#![expect(clippy::unwrap_used, reason = "a file that cannot be made fails its test")]

mod archive;
mod calendar;
mod shelf;
mod spreadsheet;
mod studio_file;
mod studios;
mod tables;
mod workbook;
mod written_workbook;
