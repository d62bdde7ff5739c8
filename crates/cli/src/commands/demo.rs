//! `lengthwise demo`: the whole job for an invented golfer, printed, with the sheets written.

use crate::commands::fit::{planned_from, today};
use crate::documents::{Documents, Format};
use crate::output::print;
use crate::report::text::{self, Detail};
use crate::{Failure, Stop};
use std::path::PathBuf;

/// The card of the invented golfer, the same file that stands among the examples.
const CARD: &str = include_str!("../../../../examples/tall.toml");

/// Arguments of `demo`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// Folder the sheets are written to; made when it is not there
    #[arg(long, value_name = "DIR", default_value = "sheets")]
    out: PathBuf,
    /// Do not serve the pages afterwards; this version serves none, so nothing changes
    #[arg(long)]
    no_serve: bool,
}

/// Plans the invented golfer's set, prints it and writes both sheets.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    let day = today();
    let plan = planned_from(CARD, day).map_err(Stop::Tell)?;
    std::fs::create_dir_all(&arguments.out).map_err(|error| {
        Failure::bad_file(format!("cannot make the folder {}: {error}", arguments.out.display()))
            .hint("Choose another with --out.")
    })?;
    let documents = Documents::write(&plan, day, &arguments.out.join("job.html"), Format::Html, None)?;
    print(&format!("{}{}", text::report(&plan, Detail::FirstClub), documents.sentence()))?;
    if !arguments.no_serve {
        print("This version serves no pages yet: open the sheets in a browser.\n")?;
    }
    Ok(())
}
