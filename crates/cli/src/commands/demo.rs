//! `lengthwise demo`: the whole job for an invented golfer, printed, with the sheets written, then an invented studio
//! in the browser.

use crate::clock::{now, today};
use crate::commands::fit::planned_from;
use crate::commands::serve::{here, runtime, serve};
use crate::documents::{Documents, Format};
use crate::output::print;
use crate::report::text::{self, Detail};
use crate::{Failure, Stop};
use std::net::SocketAddr;
use std::path::PathBuf;
use store::{Address, Store};
use web::{Opening, Server};

/// The card of the invented golfer, the same file that stands among the examples.
const CARD: &str = include_str!("../../../../examples/tall.toml");

/// Arguments of `demo`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// Folder the sheets are written to; made when it is not there
    #[arg(long, value_name = "DIR", default_value = "sheets")]
    out: PathBuf,
    /// Do not open the studio afterwards
    #[arg(long)]
    no_serve: bool,
    /// Where the invented studio lies; a place that goes away when it is stopped when not given
    #[arg(long, value_name = "PATH|URL")]
    data: Option<String>,
    /// Address the studio listens on; of this machine only
    #[arg(long, value_name = "ADDRESS:PORT", default_value_t = Server::USUAL)]
    listen: SocketAddr,
}

/// Plans the invented golfer's set, prints it, writes both sheets and opens the invented studio.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    let day = today();
    let plan = planned_from(CARD, day).map_err(Stop::Tell)?;
    std::fs::create_dir_all(&arguments.out).map_err(|error| {
        Failure::bad_file(format!("cannot make the folder {}: {error}", arguments.out.display()))
            .hint("Choose another with --out.")
    })?;
    let documents = Documents::write(&plan, day, &arguments.out.join("job.html"), Format::Html, None)?;
    print(&format!("{}{}", text::report(&plan, Detail::FirstClub), documents.sentence()))?;
    if arguments.no_serve { Ok(()) } else { open_the_studio(arguments) }
}

fn open_the_studio(arguments: &Arguments) -> Result<(), Stop> {
    let folder = tempfile::Builder::new()
        .prefix("lengthwise-demo-")
        .tempdir()
        .map_err(|error| Failure::bad_file(format!("cannot make a temporary folder: {error}")))?;
    let is_temporary = arguments.data.is_none();
    let address = match &arguments.data {
        Some(data) => crate::commands::serve::address(Some(data))?,
        None => Address::File(folder.path().join("studio.db")),
    };
    runtime()?.block_on(async {
        let store = Store::open(&address).await.map_err(Failure::from)?;
        if store.count_golfers().await.map_err(Failure::from)? == 0 {
            let now = now();
            for act in example::studio(now.date(), now.timestamp().as_millisecond()) {
                store.save(act.changes, act.at_ms).await.map_err(Failure::from)?;
            }
        }
        print("\n")?;
        serve(store, Opening { is_temporary, ..here(arguments.listen) }).await
    })
}
