//! What is found wrong while a studio is open stops all writing; reading and exporting go on, and only a person starts
//! it again.

use crate::connect::{Writer, read_only_url};
use crate::whole::{check_whole, damaged};
use crate::{Address, Store, StoreError};
use sqlx::{AnyConnection, Connection, Row};
use std::time::Instant;

/// Bytes of a page. Standard: SQLite's usual page, which our files keep.
const PAGE: i64 = 4096;
/// A journal larger than this after it was folded in is worth a line in the log, bytes. House choice.
const LARGE_JOURNAL: i64 = 64 * 1024 * 1024;

impl Store {
    /// Returns why nothing more is written; `None` while all is well.
    #[must_use]
    pub fn stopped(&self) -> Option<&str> {
        self.inner.stopped.get().map(|(why, _)| why.as_str())
    }

    /// Stops all writing when an error says that the disk failed or the file is damaged.
    pub fn heed(&self, error: &StoreError) {
        let why = match (error, &self.inner.address) {
            (StoreError::Unsound(why), _) => why,
            // a copy that is damaged is no use, and no harm to what it is a copy of
            (StoreError::Damaged { path, why, .. }, Address::File(ours)) if path == ours => why,
            _ => return,
        };
        // the first finding stays
        if self.inner.stopped.set((why.clone(), Instant::now())).is_ok() {
            tracing::error!(why, "nothing more is written");
        }
    }

    /// Checks that every page of the file is whole, as is done once a day; what is found stops all writing.
    pub async fn check_quickly(&self) {
        let Address::File(path) = &self.inner.address else { return };
        // a connection of its own: that none can be had of a damaged file is a finding too
        let looked = async {
            let url = read_only_url(path)?;
            let mut reader = AnyConnection::connect(&url).await.map_err(|error| damaged(path, &error))?;
            let checked = check_whole(&mut reader, path).await;
            reader.close().await?;
            checked
        };
        match looked.await {
            Ok(()) => tracing::info!("the file is whole"),
            Err(error) => self.heed(&error),
        }
    }

    /// Folds the journal into the file as far as readers let it, and notes when it stays large: a reader that never ends
    /// keeps it from shrinking.
    pub async fn look_at_journal(&self) {
        let Writer::Alone(writer) = &self.inner.writer else { return };
        if self.stopped().is_some() {
            return;
        }
        let mut writer = writer.lock().await;
        let Some(writer) = writer.as_mut() else { return };
        let folded = sqlx::query("PRAGMA wal_checkpoint(PASSIVE)").fetch_one(writer).await;
        let left = folded.and_then(|row| Ok(row.try_get::<i64, _>(1)? - row.try_get::<i64, _>(2)?));
        match left {
            Ok(pages) if pages * PAGE > LARGE_JOURNAL => {
                tracing::warn!(
                    mb = pages * PAGE / 1_000_000,
                    "the journal stays large: something reads without end"
                );
            }
            Ok(_) => {}
            Err(error) => self.heed(&error.into()),
        }
    }

    /// Refuses to write once something was found wrong.
    ///
    /// # Errors
    /// [`StoreError::Unsound`], with what was found.
    pub fn refuse_when_stopped(&self) -> Result<(), StoreError> {
        match self.stopped() {
            Some(why) => Err(StoreError::Unsound(why.to_owned())),
            None => Ok(()),
        }
    }
}
