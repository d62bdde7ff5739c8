//! `lengthwise read-workbook`: what the studio starts for each workbook, [`crate::apart`]. It writes the sheet, or
//! why there is none, as one JSON document.

use crate::{Stop, apart};
use exchange::{LARGEST_TABLE, read_sheet};

/// Arguments of `read-workbook`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// Name of the sheet; the first that is not hidden when not given
    #[arg(long, value_name = "NAME")]
    sheet: Option<String>,
}

/// Reads a sheet of the workbook on standard input.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    apart::run(LARGEST_TABLE, |bytes| {
        serde_json::to_vec(&read_sheet(bytes, arguments.sheet.as_deref())).map_err(|_| Stop::Told(70))
    })
}
