//! `lengthwise backup`: a verified copy of the studio.

use crate::clock::now;
use crate::commands::serve::{address, runtime};
use crate::output::print;
use crate::{Failure, Stop};
use std::path::PathBuf;
use store::Store;

/// Arguments of `backup`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The studio; the platform's data folder when not given
    #[arg(long, value_name = "PATH|URL", env = "LENGTHWISE_DATA", hide_env_values = true)]
    data: Option<String>,
    /// File to write; a dated one in the backups folder beside the studio when not given
    #[arg(value_name = "FILE")]
    to: Option<PathBuf>,
}

/// Makes the copy and says what it holds.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    let address = address(arguments.data.as_deref())?;
    crate::log::begin_for("backup", &address);
    let backup = runtime()?.block_on(async {
        let store = Store::open_there(&address).await?;
        store.backup(arguments.to.as_deref(), now().datetime()).await
    });
    let backup = backup.map_err(Failure::from)?;
    let [golfers, readings, jobs] = backup.counts;
    print(&format!(
        "Verified copy: {}\n{golfers} golfers, {readings} readings, {jobs} jobs, {} photos.\n",
        backup.path.display(),
        backup.photos
    ))
}
