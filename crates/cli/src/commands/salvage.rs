//! `lengthwise salvage`: what can still be read of a damaged studio, in a new file.

use crate::commands::serve::{address, runtime};
use crate::output::print;
use crate::{Failure, Stop};
use std::path::PathBuf;
use store::salvage;

/// Most lines on what is lost.
const MOST_LINES: usize = 200;

/// Arguments of `salvage`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The damaged studio; the platform's data folder when not given
    #[arg(long, value_name = "PATH", env = "LENGTHWISE_DATA", hide_env_values = true)]
    data: Option<String>,
    /// New file
    #[arg(value_name = "FILE")]
    to: PathBuf,
}

/// Reads what can be read and lists what could not.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    let address = address(arguments.data.as_deref())?;
    crate::log::begin_for("salvage", &address);
    let salvaged = runtime()?.block_on(salvage(&address, &arguments.to)).map_err(Failure::from)?;
    let [golfers, readings, jobs] = salvaged.counts;
    let mut text = format!(
        "Read into {}: {golfers} golfers, {readings} readings, {jobs} jobs; {} damaged records came out of the history.\n",
        arguments.to.display(),
        salvaged.from_history
    );
    if salvaged.lost.is_empty() {
        text += "Nothing was lost. Photos lie where they lay, in the folder beside the damaged file.\n";
    } else {
        text += &format!("Could not be read ({}):\n", salvaged.lost.len());
        for line in salvaged.lost.iter().take(MOST_LINES) {
            text += &format!("  - {line}\n");
        }
        if salvaged.lost.len() > MOST_LINES {
            text += &format!("  and {} more\n", salvaged.lost.len() - MOST_LINES);
        }
    }
    print(&text)
}
