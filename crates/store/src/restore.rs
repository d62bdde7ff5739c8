//! Putting a copy in the studio's place: the copy is verified first, what was there is set aside whole, and at every
//! moment either the old studio, the new one, or a name that says a restore was cut off stands in the folder.

use crate::backup::{photos_of, verified};
use crate::file::{Found, coming_back, look_at, make_private_folder, real_path, sync_folder_of};
use crate::photos::{self, Laid};
use crate::{Address, ServerLock, Store, StoreError, schema};
use jiff::civil::DateTime;
use sqlx::{AnyConnection, Connection, Row};
use std::collections::HashSet;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// What a restore did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// How many golfers, readings and jobs came back.
    pub counts: [i64; 3],
    /// How many photos came back.
    pub photos: usize,
    /// How many photos have no picture: a file alone was brought back, without those beside it.
    pub missing_photos: usize,
    /// Where what was there lies now; `None` when there was nothing.
    pub set_aside: Option<PathBuf>,
    /// What is in the studio set aside and not in the copy.
    pub newer: Newer,
}

/// What is in the studio that was set aside and not in the copy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Newer {
    /// Nothing.
    Nothing,
    /// So many entries, the last of them at this instant, milliseconds UTC.
    Entries(usize, i64),
    /// It could not be read.
    Unreadable(String),
}

/// Puts a copy in the place of the studio in a file. Nobody may have the studio open.
///
/// # Errors
/// [`StoreError::Served`] while it is served; [`StoreError::Damaged`] or [`StoreError::NotOurs`] when the copy does not
/// verify. Nothing was touched then.
pub async fn restore(address: &Address, copy: &Path, now: DateTime) -> Result<Restored, StoreError> {
    let Address::File(path) = address else {
        return Err(StoreError::CannotUse {
            path: copy.to_owned(),
            why: "a database on a server comes back by the server's own tools, or by an import of an export"
                .to_owned(),
        });
    };
    let path = real_path(path)?;
    let lock = ServerLock::take(&Address::File(path.clone()))?;
    sqlx::any::install_default_drivers();
    refuse_what_cannot_come_back(&path, copy).await?;
    let known = entries(copy).await?;
    let newer = newer_than(&path, &known).await;
    lay_ready(&path, copy)?;
    let set_aside = set_aside(&path, now)?;
    put_in_place(&path)?;
    // opening may have to upgrade it, which takes the lock
    drop(lock);
    let store = Store::open(&Address::File(path.clone())).await?;
    let checked = store.check().await?;
    store.close().await;
    match checked.faults.is_empty() {
        true => Ok(Restored {
            counts: checked.counts,
            photos: photos::count(&photos::folder_beside(&path)),
            missing_photos: checked.missing_photos.len(),
            set_aside,
            newer,
        }),
        false => Err(StoreError::Damaged { path, why: checked.faults.join("; "), copy: None }),
    }
}

async fn refuse_what_cannot_come_back(path: &Path, copy: &Path) -> Result<(), StoreError> {
    let cannot = |why: &str| Err(StoreError::CannotUse { path: copy.to_owned(), why: why.to_owned() });
    if look_at(copy)? == Found::Nothing {
        return cannot("there is no copy");
    }
    if copy.canonicalize().is_ok_and(|copy| copy == path) {
        return cannot("it is the studio itself");
    }
    if std::fs::metadata(beside(copy, "-wal")).is_ok_and(|metadata| metadata.len() > 0) {
        return cannot(
            "it is a studio with its journal beside it; make a copy of it with `lengthwise backup` first",
        );
    }
    verified(copy).await?;
    photos::verify(&photos_of(copy)).map_err(|why| StoreError::Damaged {
        path: copy.to_owned(),
        why,
        copy: None,
    })?;
    let mut connection = read_only(copy).await?;
    let version = schema::version_there(&mut connection).await;
    let refused = match version {
        Ok(version) if version > schema::NEWEST => {
            Err(schema::newer(&mut connection, copy.display().to_string(), version).await)
        }
        other => other.map(|_| ()),
    };
    connection.close().await?;
    refused
}

async fn read_only(path: &Path) -> Result<AnyConnection, StoreError> {
    let url = crate::connect::file_url(path)?.replace("mode=rwc", "mode=ro");
    Ok(AnyConnection::connect(&url).await?)
}

/// The id of every entry of a copy.
async fn entries(copy: &Path) -> Result<HashSet<String>, StoreError> {
    let mut connection = read_only(copy).await?;
    let rows = sqlx::query("SELECT id FROM change_set").fetch_all(&mut connection).await;
    connection.close().await?;
    rows?.iter().map(|row| Ok(row.try_get("id")?)).collect()
}

/// What the studio in place holds that a copy does not.
async fn newer_than(path: &Path, known: &HashSet<String>) -> Newer {
    if look_at(path).is_ok_and(|found| found == Found::Nothing) {
        return Newer::Nothing;
    }
    let read = async {
        let mut connection = read_only(path).await?;
        let rows = sqlx::query("SELECT id, at_ms FROM change_set").fetch_all(&mut connection).await;
        connection.close().await?;
        let mut newer: Vec<i64> = Vec::new();
        for row in rows? {
            if !known.contains(&row.try_get::<String, _>("id")?) {
                newer.push(row.try_get("at_ms")?);
            }
        }
        Ok::<_, StoreError>(newer)
    };
    match read.await {
        Ok(newer) => match newer.iter().max() {
            Some(last) => Newer::Entries(newer.len(), *last),
            None => Newer::Nothing,
        },
        Err(error) => Newer::Unreadable(error.to_string()),
    }
}

/// Lays the copy and its photos beside the studio, safely on disk.
fn lay_ready(path: &Path, copy: &Path) -> Result<(), StoreError> {
    let laid = || -> std::io::Result<()> {
        let pictures = coming_photos(path);
        if pictures.exists() {
            std::fs::remove_dir_all(&pictures)?;
        }
        make_private_folder(&pictures)?;
        photos::lay_into(&photos_of(copy), &pictures, Laid::AsCopies)?;
        // the file last: its name says that a restore is under way
        let ready = coming_back(path);
        std::fs::copy(copy, &ready)?;
        std::fs::File::open(&ready)?.sync_all()?;
        sync_folder_of(&ready)
    };
    laid().map_err(|error| cannot(path, &error))
}

fn coming_photos(path: &Path) -> PathBuf {
    path.with_file_name("photos.coming-back")
}

/// Moves what lies in the studio's place into a folder of its own.
fn set_aside(path: &Path, now: DateTime) -> Result<Option<PathBuf>, StoreError> {
    let pictures = photos::folder_beside(path);
    // the file before its journal: without the file nothing is opened, with it alone its last entries would be missing
    let all = [path.to_owned(), beside(path, "-wal"), beside(path, "-shm"), pictures];
    if !all.iter().any(|part| part.exists()) {
        return Ok(None);
    }
    let folder = match (path.exists(), last_set_aside(path)) {
        // an earlier restore was cut off here: the rest goes to what it has set aside already
        (false, Some(folder)) => folder,
        _ => path.with_file_name(format!("set-aside-{}", now.strftime("%Y%m%d-%H%M%S-%3f"))),
    };
    let moved = || -> std::io::Result<()> {
        make_private_folder(&folder)?;
        for part in all.iter().filter(|part| part.exists()) {
            std::fs::rename(part, folder.join(part.file_name().unwrap_or_default()))?;
        }
        sync_folder_of(&folder.join("-"))?;
        sync_folder_of(path)
    };
    moved().map_err(|error| cannot(path, &error))?;
    Ok(Some(folder))
}

fn last_set_aside(path: &Path) -> Option<PathBuf> {
    let entries = std::fs::read_dir(path.parent()?).into_iter().flatten().flatten();
    let is_one = |path: &PathBuf| {
        path.file_name().and_then(|name| name.to_str()).is_some_and(|name| name.starts_with("set-aside-"))
    };
    entries.map(|entry| entry.path()).filter(is_one).max()
}

fn put_in_place(path: &Path) -> Result<(), StoreError> {
    let placed = || -> std::io::Result<()> {
        std::fs::rename(coming_photos(path), photos::folder_beside(path))?;
        std::fs::rename(coming_back(path), path)?;
        sync_folder_of(path)
    };
    placed().map_err(|error| cannot(path, &error))
}

/// The name of one of the files SQLite keeps beside a file.
fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = OsString::from(path.file_name().unwrap_or_default());
    name.push(ending);
    path.with_file_name(name)
}

fn cannot(path: &Path, error: &std::io::Error) -> StoreError {
    match error.kind() {
        std::io::ErrorKind::StorageFull => StoreError::DiskFull,
        _ => StoreError::CannotUse { path: path.to_owned(), why: error.to_string() },
    }
}
