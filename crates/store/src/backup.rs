//! Copies of a studio while it is open, each verified before it carries its name; and checking a studio.

use crate::connect::Writer;
use crate::{Address, Store, StoreError};
use jiff::Timestamp;
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
    pub async fn backup(&self, to: Option<&Path>) -> Result<Backup, StoreError> {
        let Address::File(path) = &self.inner.address else {
            return Err(StoreError::CannotUse {
                path: to.unwrap_or(Path::new("backup")).to_owned(),
                why:
                    "a database on a server is backed up by the server's own pg_dump, or by an export of all"
                        .to_owned(),
            });
        };
        let Writer::Alone(writer) = &self.inner.writer else {
            return Err(StoreError::Failed("a file without its writer".to_owned()));
        };
        let mut writer = writer.lock().await;
        match to {
            Some(to) => copy_to(&mut writer, to).await,
            None => copy_of(&mut writer, path, "hand").await,
        }
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

/// Makes a verified copy in the backups folder beside the studio.
pub(crate) async fn copy_of(
    connection: &mut AnyConnection,
    path: &Path,
    why: &str,
) -> Result<Backup, StoreError> {
    let folder = path.with_file_name("backups");
    crate::file::make_private_folder(&folder)
        .map_err(|error| StoreError::CannotUse { path: folder.clone(), why: error.to_string() })?;
    let stamp = Timestamp::now().strftime("%Y%m%d-%H%M%S-%3f");
    copy_to(connection, &folder.join(format!("studio-{stamp}-{why}.db"))).await
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
    sqlx::query("VACUUM INTO $1").bind(name).execute(&mut *connection).await?;
    let source = counts(connection).await?;
    let verified = verified(&partial, source).await;
    let placed = verified.and_then(|()| {
        std::fs::File::open(&partial)
            .and_then(|file| file.sync_all())
            .and_then(|()| std::fs::rename(&partial, to))
            .map_err(|error| cannot(error.to_string()))
    });
    if placed.is_err() {
        drop(std::fs::remove_file(&partial));
    }
    placed.map(|()| Backup { path: to.to_owned(), counts: source })
}

/// Opens a copy and holds it against its source.
async fn verified(copy: &Path, source: [i64; 3]) -> Result<(), StoreError> {
    let damaged = |why: String| StoreError::Damaged { path: copy.to_owned(), why };
    let url = crate::connect::file_url(copy)?.replace("mode=rwc", "mode=ro");
    let mut connection = AnyConnection::connect_with(&AnyConnectOptions::from_str(&url)?).await?;
    let faults = faults_of(&mut connection).await?;
    let counts = counts(&mut connection).await?;
    connection.close().await?;
    if !faults.is_empty() {
        return Err(damaged(faults.join("; ")));
    }
    if counts != source {
        return Err(damaged(format!(
            "it holds {counts:?} golfers, readings and jobs, the studio {source:?}"
        )));
    }
    Ok(())
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
