//! `lengthwise import`: golfers from a studio file this program exported.

use crate::clock::now;
use crate::commands::serve::{address, runtime};
use crate::output::{print, read};
use crate::{Failure, Stop};
use exchange::{ImportedStudio, LARGEST_STUDIO_FILE, import_json};
use std::path::PathBuf;
use store::{Address, Refusal, Store, StoreError};
use studio::{Changes, HouseSettings, Id, Record};

/// Arguments of `import`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The studio; the platform's data folder when not given; made when it is not there
    #[arg(long, value_name = "PATH|URL", env = "LENGTHWISE_DATA", hide_env_values = true)]
    data: Option<String>,
    /// Take golfers too who were forgotten here: they want to be kept again
    #[arg(long)]
    though_forgotten: bool,
    /// Studio file to read
    #[arg(value_name = "FILE")]
    from: PathBuf,
}

/// Reads the whole file first, then takes golfer by golfer, each whole or not at all; one who is there already is left as
/// they are.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    let address = address(arguments.data.as_deref())?;
    crate::log::begin_for("import", &address);
    let bytes = read(&arguments.from, LARGEST_STUDIO_FILE)?;
    let imported = import_json(&bytes).map_err(|error| {
        let hint = error.hint();
        Failure::bad_input(error.to_string()).hint(hint)
    })?;
    let taken =
        runtime()?.block_on(take(&address, &imported, arguments.though_forgotten)).map_err(Failure::from)?;
    let golfers =
        if taken.golfers == 1 { "1 golfer".to_owned() } else { format!("{} golfers", taken.golfers) };
    let mut text = format!("{golfers} taken.\n");
    if !taken.left.is_empty() {
        text += &format!("Already there and left as they are: {}.\n", taken.left.join(", "));
    }
    if !taken.forgotten.is_empty() {
        text += &format!(
            "Forgotten here and not taken: {}. Where they want to be kept again, import with --though-forgotten.\n",
            taken.forgotten.join(", ")
        );
    }
    if !taken.paid.is_empty() {
        text += &format!(
            "Forgotten here but for what was paid, and not taken: {}. Open a new file for them.\n",
            taken.paid.join(", ")
        );
    }
    print(&text)
}

#[derive(Default)]
struct Taken {
    golfers: usize,
    /// Names of those who were forgotten here.
    forgotten: Vec<String>,
    /// Names of those of whom what was paid is left, under the same number.
    paid: Vec<String>,
    /// Names of those who were there already.
    left: Vec<String>,
}

async fn take(
    address: &Address,
    imported: &ImportedStudio,
    though_forgotten: bool,
) -> Result<Taken, StoreError> {
    let store = Store::open(address).await?;
    let taken = take_into(&store, imported, though_forgotten).await;
    store.close().await;
    taken
}

async fn take_into(
    store: &Store,
    imported: &ImportedStudio,
    though_forgotten: bool,
) -> Result<Taken, StoreError> {
    let mut taken = Taken::default();
    if store.count_golfers().await? > 0 {
        store.note_instant(now().timestamp().as_millisecond());
        store.backup_before_import(now().datetime()).await?;
    }
    // a studio that has no settings of its own takes those of the file
    if store.house().await?.revision == 0 && imported.house != HouseSettings::usual() {
        let changes =
            Changes::new(new_id(), "import", "House as in the file").with_new(imported.house.clone());
        store.save(changes, now().timestamp().as_millisecond()).await?;
    }
    // so does one that has no shelf
    if store.shelf().await?.parts.is_empty() {
        let acts = imported.shelf_acts("import", new_id);
        if !acts.is_empty() {
            store.save_together(acts, now().timestamp().as_millisecond()).await?;
        }
    }
    let taken_back = store.taken_back()?;
    for golfer in &imported.golfers {
        match store.dossier(&golfer.golfer).await {
            Ok(there) if there.golfer.record.is_erased() => taken.paid.push(golfer.name().to_owned()),
            Ok(there) => taken.left.push(there.golfer.record.name),
            Err(StoreError::Refused(Refusal::NotThere)) => {
                if though_forgotten {
                    store.let_back_in(golfer.records.iter().map(Record::id))?;
                }
                // an older file may hold what the golfer took their consent back to
                let kept = golfer.without(&taken_back);
                let acts = kept.acts("import", new_id);
                match store.save_together(acts, now().timestamp().as_millisecond()).await {
                    Ok(_) => taken.golfers += 1,
                    Err(StoreError::Refused(Refusal::WasErased)) => {
                        taken.forgotten.push(golfer.name().to_owned());
                    }
                    Err(error) => return Err(error),
                }
            }
            Err(error) => return Err(error),
        }
    }
    Ok(taken)
}

fn new_id() -> Id {
    Id::of_bytes(uuid::Uuid::now_v7().into_bytes())
}
