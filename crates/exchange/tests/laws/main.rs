//! Laws of what goes out and comes in: what is written reads back the same, whatever people typed into it; what is
//! broken is refused and never brings the program down.

mod calendar;
mod spreadsheet;
mod studio_file;
mod studios;
mod tables;
