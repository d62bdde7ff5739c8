//! `lengthwise restore`: a copy in the place of the studio.

use crate::clock::{now, wall_time};
use crate::commands::serve::{address, runtime};
use crate::output::print;
use crate::{Failure, Stop};
use std::path::PathBuf;
use store::{Newer, restore};

/// Arguments of `restore`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The studio; the platform's data folder when not given
    #[arg(long, value_name = "PATH", env = "LENGTHWISE_DATA", hide_env_values = true)]
    data: Option<String>,
    /// Copy to go back to
    #[arg(value_name = "FILE")]
    copy: PathBuf,
}

/// Verifies the copy, sets aside what is there, puts the copy in its place, and says what came back.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    let address = address(arguments.data.as_deref())?;
    crate::log::begin_for("restore", &address);
    let restored = runtime()?.block_on(restore(&address, &arguments.copy, now().datetime()));
    let restored = restored.map_err(Failure::from)?;
    let [golfers, readings, jobs] = restored.counts;
    let mut text = format!(
        "Back and checked: {golfers} golfers, {readings} readings, {jobs} jobs, {} photos.\n",
        restored.photos
    );
    if restored.missing_photos > 0 {
        text += &format!(
            "{} photos have no picture: they lay in a folder beside the copy, which was not there.\n",
            restored.missing_photos
        );
    }
    if let Some(aside) = &restored.set_aside {
        text += &format!("What was there lies in {}.\n", aside.display());
    }
    text += &match &restored.newer {
        Newer::Nothing => String::new(),
        Newer::Entries(1, at_ms) => {
            format!("It holds 1 entry that is not in the copy, of {}.\n", wall_time(*at_ms))
        }
        Newer::Entries(count, last_ms) => format!(
            "It holds {count} entries that are not in the copy, the last of {}.\n",
            wall_time(*last_ms)
        ),
        Newer::Unreadable(why) => format!(
            "Whether it holds anything newer cannot be told: {why}. `lengthwise salvage` reads what is left of it.\n"
        ),
    };
    print(&text)
}
