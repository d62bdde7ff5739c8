//! The job: each step is done, sent again once when it failed, and told when it was acknowledged.

use crate::step::{Step, act_id, at_ms, step};
use jiff::civil::DateTime;
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use store::{Address, Photos, Store, StoreError};
use studio::{Changes, GolferFile, Id, Record, RecordKind};

/// Where the studio lies in a folder that stands for a disk.
pub(crate) fn studio_in(folder: &Path) -> PathBuf {
    folder.join("data/studio.db")
}

/// Does the steps; ends at the first that failed twice.
pub(crate) async fn work(folder: &Path, steps: u64) -> Result<(), StoreError> {
    let address = Address::File(studio_in(folder));
    let mut store = opened(&address).await?;
    tell(&format!("opened {}", state(&store).await?))?;
    for number in 0..steps {
        if let Step::Reopen = step(number) {
            store.close().await;
            drop(store);
            store = opened(&address).await?;
            continue;
        }
        let said = match done(&store, number).await {
            Err(error) => {
                complain(&format!("step {number}"), &error);
                // as a page sends what it could not save once more, with the same id
                done(&store, number)
                    .await
                    .inspect_err(|error| complain(&format!("step {number} again"), error))?
            }
            said => said?,
        };
        if let Some(said) = said {
            tell(&format!("{said} {}", state(&store).await?))?;
        }
    }
    store.close().await;
    Ok(())
}

async fn opened(address: &Address) -> Result<Store, StoreError> {
    match Store::open(address).await {
        Err(error) => {
            complain("opening", &error);
            Store::open(address).await.inspect_err(|error| complain("opening again", error))
        }
        opened => opened,
    }
}

/// Does a step; returns what is to be told of it.
async fn done(store: &Store, number: u64) -> Result<Option<String>, StoreError> {
    match step(number) {
        Step::Copy(now) => copied(store, number, now).await,
        Step::Fold => {
            store.look_at_journal().await;
            Ok(None)
        }
        Step::Reopen => Ok(None),
        _ => acted(store, number).await.map(|()| Some(format!("saved {number} {}", act_id(number)))),
    }
}

/// Does a step that is an act; those that are none do nothing.
pub(crate) async fn acted(store: &Store, number: u64) -> Result<(), StoreError> {
    let now = at_ms(number);
    match step(number) {
        Step::Save(act) => store.save(act, now).await.map(drop),
        Step::Picture(photo, bytes, act) => {
            if let Some(photos) = Photos::of(store.address()) {
                photos.put(&photo, &bytes)?;
            }
            store.save(act, now).await.map(drop)
        }
        Step::Rename(golfer, act) => renamed(store, golfer, act, now).await,
        Step::Undo { act, as_id } => store.undo(&act, as_id, "I. F.", now).await.map(drop),
        Step::Copy(_) | Step::Fold | Step::Reopen => Ok(()),
    }
}

async fn renamed(store: &Store, golfer: GolferFile, act: Id, now: i64) -> Result<(), StoreError> {
    let seen = store.record(RecordKind::Golfer, &golfer.id).await?.map(|kept| kept.revision);
    let act = Changes::new(act, "I. F.", "Renamed").with_changed(Record::Golfer(golfer), seen.unwrap_or(0));
    store.save(act, now).await.map(drop)
}

async fn copied(store: &Store, number: u64, now: DateTime) -> Result<Option<String>, StoreError> {
    let copy = store.backup_when_due(now, true).await?;
    let name = copy.as_ref().and_then(|copy| copy.path.file_name()).map(|name| name.to_string_lossy());
    Ok(name.map(|name| format!("copied {number} {name}")))
}

/// Everything the studio holds, as one number to compare.
pub(crate) async fn state(store: &Store) -> Result<String, StoreError> {
    let everything = serde_json::to_vec(&store.everything().await?.dossiers)?;
    let mut hex = String::with_capacity(64);
    for byte in Sha256::digest(everything) {
        // writing into a String does not fail
        let _ = write!(hex, "{byte:02x}");
    }
    Ok(hex)
}

/// Says on standard output what was acknowledged.
pub(crate) fn tell(line: &str) -> Result<(), StoreError> {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{line}")
        .and_then(|()| out.flush())
        .map_err(|error| StoreError::Failed(format!("standard output: {error}")))
}

/// Says on standard error what failed, in the store's words.
pub(crate) fn complain(what: &str, error: &StoreError) {
    // when even that cannot be said, the exit code still tells
    drop(writeln!(std::io::stderr(), "{what}: {error}\n  {}", error.hint()));
}
