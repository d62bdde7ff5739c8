//! Copies of a studio while it is open, each verified before it carries its name; and checking a studio.

use crate::rotation::{Why, file_name, superfluous};
use crate::{Address, Store, StoreError};
use jiff::civil::DateTime;
use sqlx::any::AnyConnectOptions;
use sqlx::{AnyConnection, Connection, Row};
use std::path::{Path, PathBuf};
use std::str::FromStr;

/// A copy that was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Backup {
    /// Where it lies.
    pub path: PathBuf,
    /// How many golfers, readings and jobs it holds.
    pub counts: [i64; 3],
}

/// What a check of the studio found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Checked {
    /// What is wrong; empty when all is well.
    pub faults: Vec<String>,
    /// How many golfers, readings and jobs there are.
    pub counts: [i64; 3],
}

const COUNTS: &str = "SELECT CAST((SELECT COUNT(*) FROM golfer) AS BIGINT) AS golfers, CAST((SELECT COUNT(*) FROM reading) AS \
                      BIGINT) AS readings, CAST((SELECT COUNT(*) FROM job) AS BIGINT) AS jobs";

impl Store {
    /// Makes a verified copy; `None` puts it into the backups folder beside the studio under today's date and time.
    ///
    /// # Errors
    /// When it cannot be made or does not verify; no file carries the name then.
    pub async fn backup(&self, to: Option<&Path>, now: DateTime) -> Result<Backup, StoreError> {
        let Address::File(path) = &self.inner.address else {
            return Err(StoreError::CannotUse {
                path: to.unwrap_or(Path::new("backup")).to_owned(),
                why:
                    "a database on a server is backed up by the server's own pg_dump, or by an export of all"
                        .to_owned(),
            });
        };
        // a reader of its own: whoever writes meanwhile is not kept waiting
        let mut reader = self.inner.readers.acquire().await?;
        match to {
            Some(to) => copy_to(&mut reader, to).await,
            None => copy_of(&mut reader, path, Why::Hand, now).await,
        }
    }

    /// Makes the copies a day asks for: one a day, and one more whenever it is asked and something was written since the
    /// last. Those that are no longer needed go. Returns what was made.
    ///
    /// # Errors
    /// As [`Store::backup`].
    pub async fn backup_when_due(
        &self,
        now: DateTime,
        has_changed: bool,
    ) -> Result<Option<Backup>, StoreError> {
        let Address::File(path) = &self.inner.address else { return Ok(None) };
        let folder = path.with_file_name(FOLDER);
        let names = names_in(&folder);
        let today = names.iter().any(|name| {
            Why::and_time_of(name).is_some_and(|(why, at)| why == Why::Day && at.date() == now.date())
        });
        let why = match (today, has_changed) {
            (false, _) => Why::Day,
            (true, true) => Why::Hour,
            (true, false) => return Ok(None),
        };
        let mut reader = self.inner.readers.acquire().await?;
        let backup = copy_of(&mut reader, path, why, now).await?;
        drop(reader);
        for name in superfluous(&names_in(&folder), now) {
            // one that cannot be removed is no harm
            drop(std::fs::remove_file(folder.join(name)));
        }
        Ok(Some(backup))
    }

    /// Checks the whole studio: the file's pages, what hangs on what, and that every record can be read.
    ///
    /// # Errors
    /// When it cannot be read at all.
    pub async fn check(&self) -> Result<Checked, StoreError> {
        let mut faults = Vec::new();
        let mut connection = self.inner.readers.acquire().await?;
        if matches!(self.inner.address, Address::File(_)) {
            faults = faults_of(&mut connection).await?;
        }
        let counts = counts(&mut connection).await?;
        drop(connection);
        const GOLFERS: &str = "SELECT id FROM golfer ORDER BY seq";
        for row in sqlx::query(GOLFERS).fetch_all(&self.inner.readers).await? {
            let id: String = row.try_get("id")?;
            let Ok(golfer) = studio::Id::parse(&id) else {
                faults.push("a golfer has an id that is none".to_owned());
                continue;
            };
            if let Err(error) = self.dossier(&golfer).await {
                faults.push(format!("golfer {golfer}: {error}"));
            }
        }
        Ok(Checked { faults, counts })
    }
}

/// The folder of the copies, beside the studio.
const FOLDER: &str = "backups";

fn names_in(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    entries.filter_map(|entry| entry.file_name().into_string().ok()).collect()
}

/// Makes a verified copy in the backups folder beside the studio.
pub(crate) async fn copy_of(
    connection: &mut AnyConnection,
    path: &Path,
    why: Why,
    now: DateTime,
) -> Result<Backup, StoreError> {
    let folder = path.with_file_name(FOLDER);
    crate::file::make_private_folder(&folder)
        .map_err(|error| StoreError::CannotUse { path: folder.clone(), why: error.to_string() })?;
    copy_to(connection, &folder.join(file_name(why, now))).await
}

async fn copy_to(connection: &mut AnyConnection, to: &Path) -> Result<Backup, StoreError> {
    let cannot = |why: String| StoreError::CannotUse { path: to.to_owned(), why };
    if to.exists() {
        return Err(cannot("there is a file of that name already".to_owned()));
    }
    let partial = to.with_extension("partial");
    // a copy that was cut off halfway is of no use to anyone
    drop(std::fs::remove_file(&partial));
    let name = partial.to_str().ok_or_else(|| cannot("its name is not UTF-8".to_owned()))?;
    // others may write while the copy is made: it holds what there was at one moment in between
    let before = counts(connection).await?;
    sqlx::query("VACUUM INTO $1").bind(name).execute(&mut *connection).await?;
    let after = counts(connection).await?;
    let verified = verified(&partial, before, after).await;
    let placed = verified.and_then(|counts| {
        std::fs::File::open(&partial)
            .and_then(|file| file.sync_all())
            .and_then(|()| std::fs::rename(&partial, to))
            .map_err(|error| cannot(error.to_string()))
            .map(|()| counts)
    });
    if placed.is_err() {
        drop(std::fs::remove_file(&partial));
    }
    placed.map(|counts| Backup { path: to.to_owned(), counts })
}

/// Opens a copy and holds it against its source.
async fn verified(copy: &Path, before: [i64; 3], after: [i64; 3]) -> Result<[i64; 3], StoreError> {
    let damaged = |why: String| StoreError::Damaged { path: copy.to_owned(), why };
    let url = crate::connect::file_url(copy)?.replace("mode=rwc", "mode=ro");
    let mut connection = AnyConnection::connect_with(&AnyConnectOptions::from_str(&url)?).await?;
    let faults = faults_of(&mut connection).await?;
    let counts = counts(&mut connection).await?;
    connection.close().await?;
    if !faults.is_empty() {
        return Err(damaged(faults.join("; ")));
    }
    let is_between = (0..3).all(|at| (before[at]..=after[at]).contains(&counts[at]));
    if !is_between {
        return Err(damaged(format!(
            "it holds {counts:?} golfers, readings and jobs, the studio {before:?} to {after:?}"
        )));
    }
    Ok(counts)
}

async fn faults_of(connection: &mut AnyConnection) -> Result<Vec<String>, StoreError> {
    let mut faults = Vec::new();
    for row in sqlx::query("PRAGMA integrity_check(20)").fetch_all(&mut *connection).await? {
        let found: String = row.try_get(0)?;
        if found != "ok" {
            faults.push(found);
        }
    }
    let orphans = sqlx::query("PRAGMA foreign_key_check").fetch_all(&mut *connection).await?;
    if !orphans.is_empty() {
        faults.push(format!("{} records hang on records that are not there", orphans.len()));
    }
    Ok(faults)
}

async fn counts(connection: &mut AnyConnection) -> Result<[i64; 3], StoreError> {
    let row = sqlx::query(COUNTS).fetch_one(&mut *connection).await?;
    Ok([row.try_get("golfers")?, row.try_get("readings")?, row.try_get("jobs")?])
}
