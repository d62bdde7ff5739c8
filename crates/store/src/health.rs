//! What is found wrong while a studio is open stops all writing; reading and exporting go on, and only a person starts
//! it again.

use crate::connect::{Writer, read_only_url, reader, writer_of};
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

    /// Whether the studio lies on a network drive and is this program's alone.
    #[must_use]
    pub fn is_on_network_drive(&self) -> bool {
        matches!(self.inner.writer, Writer::Together)
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
            if matches!(self.inner.writer, Writer::Together | Writer::Nobody(_)) {
                return check_whole(&mut *self.inner.readers.acquire().await?, path).await;
            }
            let url = read_only_url(path)?;
            let mut reader = reader(&url).await.map_err(|error| damaged(path, &error))?;
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

    /// Opens the writing connection anew after a write that failed. SQLite ends a transaction by itself when the disk is
    /// full; the connection would take it for one that is still under way, and begin no other.
    pub(crate) async fn renew_after(&self, error: &StoreError, writer: &mut Option<AnyConnection>) {
        let Address::File(path) = &self.inner.address else { return };
        if !matches!(error, StoreError::DiskFull | StoreError::Failed(_)) {
            return;
        }
        match writer_of(path).await {
            Ok(fresh) => {
                if let Some(old) = writer.replace(fresh) {
                    // what it had begun was rolled back, or is now
                    drop(old.close().await);
                }
            }
            Err(error) => tracing::error!(%error, "the writing connection could not be opened anew"),
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

#[cfg(test)]
mod tests {
    use super::LARGE_JOURNAL;
    use crate::connect::Writer;
    use crate::in_tests::{Told, new_id};
    use crate::{Address, Store, StoreError};
    use studio::{Changes, HouseSettings};

    /// A disk that fails is found by one write while another waits its turn: that one is not made any more.
    #[tokio::test]
    async fn a_write_that_waited_while_the_disk_failed_is_not_made() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&Address::File(folder.path().join("studio.db"))).await.unwrap();
        let Writer::Alone(writer) = &store.inner.writer else { panic!("a file has one writer") };
        let held = writer.lock().await;
        let waiting = {
            let store = store.clone();
            let changes = Changes::new(new_id(), "I. F.", "The house").with_new(HouseSettings::usual());
            tokio::spawn(async move { store.save(changes, 1).await })
        };
        // so that it stands at the lock
        for _ in 0..100 {
            tokio::task::yield_now().await;
        }
        store.heed(&StoreError::Unsound("disk I/O error".to_owned()));
        drop(held);
        assert!(matches!(waiting.await.unwrap(), Err(StoreError::Unsound(_))));
        assert_eq!(store.house().await.unwrap().revision, 0);
    }

    /// A file that may not grow any more is as good as a full disk; the limit is the writing connection's own.
    #[tokio::test]
    async fn after_a_full_disk_the_studio_goes_on_without_being_opened_again() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&Address::File(folder.path().join("studio.db"))).await.unwrap();
        let Writer::Alone(writer) = &store.inner.writer else { panic!("a file has one writer") };
        let limit = "PRAGMA max_page_count=1";
        sqlx::query(limit).execute(writer.lock().await.as_mut().unwrap()).await.unwrap();
        let mut seen = None;
        let mut full = None;
        // as many as fit in the pages that are there
        for number in 0..1000 {
            let mut house = HouseSettings::usual();
            house.matchings.insert("a table".to_owned(), vec!["x".repeat(500), number.to_string()]);
            let changes = Changes::new(new_id(), "I. F.", "The house");
            let changes = match seen {
                None => changes.with_new(house),
                Some(revision) => changes.with_changed(house, revision),
            };
            match store.save(changes, number).await {
                Ok(_) => seen = Some(seen.unwrap_or(0) + 1),
                Err(error) => {
                    full = Some(error);
                    break;
                }
            }
        }
        assert!(matches!(full, Some(StoreError::DiskFull)), "{full:?}");
        assert_eq!(store.stopped(), None, "a full disk is no fault of the file");
        let kept = store.house().await.unwrap();
        assert_eq!(kept.revision, seen.unwrap_or(0), "what was refused is not there");
        let changes = Changes::new(new_id(), "I. F.", "The house");
        let house = HouseSettings::usual();
        let changes = if kept.revision == 0 {
            changes.with_new(house)
        } else {
            changes.with_changed(house, kept.revision)
        };
        store.save(changes, 2000).await.unwrap();
    }

    /// What a reader that does not end has not read past cannot be folded in.
    #[tokio::test]
    async fn a_journal_that_stays_large_is_a_line_in_the_log() {
        let told = Told::on_this_thread();
        let large = || told.numbers_of("the journal stays large: something reads without end", "mb");
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&Address::File(folder.path().join("studio.db"))).await.unwrap();
        let Writer::Alone(writer) = &store.inner.writer else { panic!("a file has one writer") };
        let write = async |sql: &'static str| {
            sqlx::query(sql)
                .bind(LARGE_JOURNAL / 2)
                .execute(writer.lock().await.as_mut().unwrap())
                .await
                .unwrap();
        };
        write("CREATE TABLE filler AS SELECT zeroblob($1) AS bytes").await;
        let mut reading = store.inner.readers.begin().await.unwrap();
        sqlx::query("SELECT * FROM golfer").fetch_all(&mut *reading).await.unwrap();
        write("INSERT INTO filler SELECT zeroblob($1)").await;
        store.look_at_journal().await;
        assert_eq!(large(), [0_i64; 0], "half of what is large");
        write("INSERT INTO filler SELECT zeroblob($1)").await;
        store.look_at_journal().await;
        let once = large();
        assert!(once.len() == 1 && once[0] >= LARGE_JOURNAL / 1_000_000, "{once:?}");
        reading.rollback().await.unwrap();
        store.look_at_journal().await;
        assert_eq!(large(), once, "nobody reads any more, and it was folded in");
    }
}
