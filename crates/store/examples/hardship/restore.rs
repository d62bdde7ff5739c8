//! The job of bringing a copy back over a studio that has gone on since.

use crate::work::{complain, state, studio_in, tell, work};
use jiff::civil::date;
use std::path::{Path, PathBuf};
use store::{Address, Restored, Store, StoreError};

/// Does the steps, closes the studio, and brings the first copy back.
pub(crate) async fn work_and_restore(folder: &Path, steps: u64) -> Result<(), StoreError> {
    work(folder, steps).await?;
    let copy = match first_copy(folder) {
        Err(error) => {
            complain("looking for the copy", &error);
            first_copy(folder).inspect_err(|error| complain("looking for the copy again", error))?
        }
        found => found?,
    };
    let name = copy.file_name().unwrap_or_default().to_string_lossy();
    tell(&format!("restoring {name}"))?;
    match restored(folder, &copy).await {
        Err(error) => {
            complain("restoring", &error);
            restored(folder, &copy).await.inspect_err(|error| complain("restoring again", error))?
        }
        restored => restored?,
    };
    let state = match looked_at(folder).await {
        Err(error) => {
            complain("looking at it", &error);
            looked_at(folder).await.inspect_err(|error| complain("looking at it again", error))?
        }
        looked => looked?,
    };
    tell(&format!("restored 0 {name} {state}"))
}

/// The state of the studio of a folder, opened for it.
async fn looked_at(folder: &Path) -> Result<String, StoreError> {
    let store = Store::open(&Address::File(studio_in(folder))).await?;
    let state = state(&store).await;
    store.close().await;
    state
}

/// Brings a copy back over the studio of a folder.
pub(crate) async fn restored(folder: &Path, copy: &Path) -> Result<Restored, StoreError> {
    store::restore(&Address::File(studio_in(folder)), copy, date(2026, 12, 1).at(9, 0, 0, 0)).await
}

/// The copy that is brought back.
pub(crate) fn first_copy(folder: &Path) -> Result<PathBuf, StoreError> {
    let backups = folder.join("data/backups");
    let entries = std::fs::read_dir(&backups)
        .map_err(|error| StoreError::CannotUse { path: backups.clone(), why: error.to_string() })?;
    let copies = entries.flatten().map(|entry| entry.path());
    copies
        .filter(|path| path.extension().is_some_and(|end| end == "db"))
        .min()
        .ok_or(StoreError::CannotUse { path: backups, why: "there is no copy".to_owned() })
}
