//! `lengthwise forget`: takes a golfer who asks for it out of the studio for good.

use crate::clock::now;
use crate::commands::serve::{address, runtime};
use crate::output::print;
use crate::{Failure, Stop};
use store::{Forgetting, Store, StoreError};
use studio::Id;

/// Arguments of `forget`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The studio; the platform's data folder when not given
    #[arg(long, value_name = "PATH|URL", env = "LENGTHWISE_DATA", hide_env_values = true)]
    data: Option<String>,
    /// The golfer, by id: it stands in the address of their page
    #[arg(value_name = "ID")]
    golfer: String,
    /// Do it; without this it is only said what would go and what stays
    #[arg(long)]
    yes: bool,
}

/// Says what goes and what stays, and with `--yes` does it.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    let golfer =
        Id::parse(&arguments.golfer).map_err(|error| Failure::bad_input(error.to_string()).field("ID"))?;
    let address = address(arguments.data.as_deref())?;
    crate::log::begin_for("forget", &address);
    let forgetting = runtime()?.block_on(async {
        let store = Store::open_there(&address).await?;
        let done =
            if arguments.yes { forget(&store, &golfer).await } else { store.forgetting(&golfer).await };
        store.close().await;
        done
    });
    print(&said(&forgetting.map_err(Failure::from)?, arguments.yes))
}

async fn forget(store: &Store, golfer: &Id) -> Result<Forgetting, StoreError> {
    store.forgetting(golfer).await?;
    store.note_instant(now().timestamp().as_millisecond());
    store.backup_before_forgetting(now().datetime()).await?;
    let act = Id::of_bytes(uuid::Uuid::now_v7().into_bytes());
    store.forget(golfer, act, "forget", now().timestamp().as_millisecond()).await
}

fn said(forgetting: &Forgetting, is_done: bool) -> String {
    let gone: Vec<String> = forgetting
        .gone
        .iter()
        .map(|(kind, count)| format!("{count} {}{}", kind.word(), if *count == 1 { "" } else { "s" }))
        .collect();
    let mut text = format!(
        "{}: the file{}{} and the history",
        forgetting.name,
        if gone.is_empty() { "" } else { ", " },
        gone.join(", ")
    );
    text += if is_done { " are gone.\n" } else { " would go.\n" };
    if !forgetting.kept_jobs.is_empty() {
        let numbers: Vec<String> = forgetting.kept_jobs.iter().map(ToString::to_string).collect();
        text +=
            &format!("Amounts, days and number of job {} stay: a price was agreed to.\n", numbers.join(", "));
    }
    if !forgetting.set_aside.is_empty() {
        let folders: Vec<String> =
            forgetting.set_aside.iter().map(|folder| folder.display().to_string()).collect();
        text += &format!(
            "What going back to a copy set aside may hold them, and is left as it is: {}. Remove it once you need it no more.\n",
            folders.join(", ")
        );
    }
    text += if is_done {
        "Copies made before still hold them; brought back on this machine, one is made to forget them again.\n"
    } else {
        "Nothing was changed. This cannot be undone; to do it, run it again with --yes.\n"
    };
    text
}
