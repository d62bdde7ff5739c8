//! `lengthwise check`: is the studio whole?

use crate::commands::serve::{address, runtime};
use crate::output::print;
use crate::{Failure, Stop};
use store::Store;

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The studio; the platform's data folder when not given
    #[arg(long, value_name = "PATH|URL", env = "LENGTHWISE_DATA", hide_env_values = true)]
    data: Option<String>,
}

/// Checks everything and says what was found.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    let address = address(arguments.data.as_deref())?;
    let checked = runtime()?.block_on(async { Store::open_there(&address).await?.check().await });
    let checked = checked.map_err(Failure::from)?;
    let [golfers, readings, jobs] = checked.counts;
    let pictures = checked.missing_photos.iter().map(|id| format!("the picture of photo {id} is not there"));
    let faults: Vec<String> = checked.faults.iter().cloned().chain(pictures).collect();
    if faults.is_empty() {
        let notes: String = checked.notes.iter().map(|note| format!("Note: {note}.\n")).collect();
        return print(&format!(
            "The studio is whole: {golfers} golfers, {readings} readings, {jobs} jobs.\n{notes}"
        ));
    }
    let list: String = faults.iter().map(|fault| format!("\n  - {fault}")).collect();
    Err(Failure::bad_file(format!("the studio at {address} has faults:{list}"))
        .hint("Make a copy with `lengthwise backup FILE` before anything else; the newest good copy in the backups folder comes back with `lengthwise restore`.")
        .into())
}
