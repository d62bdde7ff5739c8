//! The program from outside: every command run as a person or a script runs it.
#![expect(clippy::unwrap_used, reason = "a run that cannot be made fails its test")]

mod calc_ball;
mod calc_cases;
mod common;
mod document_bombs;
mod fit;
mod meanwhile;
mod photo_bombs;
mod program;
mod studio;
mod studio_over_http;
mod trial;
mod workbook;
mod workbook_bombs;
mod workbook_over_http;
