//! Putting a copy in the studio's place: the copy is verified first, what was there is set aside whole, and at every
//! moment either the old studio, the new one, or a name that says a restore was cut off stands in the folder.

use crate::backup::verified;
use crate::file::{Found, beside, coming_back, is_database, look_at, real_path};
use crate::forget::wishes::Wishes;
use crate::lock::InUse;
use crate::photos::{self, Laid};
use crate::private::{copy_bytes, make_private_folder, sync_folder_of};
use crate::{Address, ServerLock, Store, StoreError, own_number, schema};
use jiff::civil::DateTime;
use sqlx::{AnyConnection, Connection, Row};
use std::collections::{BTreeSet, HashSet};
use std::path::{Path, PathBuf};
use studio::Id;

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
/// [`StoreError::Served`] while anybody has it open; [`StoreError::Damaged`] or [`StoreError::NotOurs`] when the copy
/// does not verify: nothing was touched then. [`StoreError::NotAsBefore`] when the copy is in place and does not open.
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
    let alone = InUse::alone(&path)?;
    sqlx::any::install_default_drivers();
    refuse_what_cannot_come_back(&path, copy).await?;
    // an earlier restore that was cut off has set aside the old file already
    let begun = last_set_aside(&path).filter(|_| !path.exists() && coming_back(&path).exists());
    let (known, number) = entries(copy).await?;
    let old = begun.as_ref().map_or_else(|| path.clone(), |folder| part_in(folder, &path));
    let newer = newer_than(&old, &known).await;
    let set_aside = begun.or_else(|| has_anything(&path).then(|| new_set_aside(&path, now)));
    // a picture without a record would outlive its golfer; it stays, as another studio of the folder may have its record
    let came: BTreeSet<Id> = photos_of(copy).await.into_iter().map(|(photo, _)| photo).collect();
    let strays = photos_of(&old).await.into_iter().filter(|(photo, _)| !came.contains(photo)).collect();
    Wishes { strays, ..Wishes::default() }.write_down(address)?;
    let photos = lay_ready(&path, copy, set_aside.as_deref())?;
    own_number::give_another(&coming_back(&path), number).map_err(|error| cannot(&path, &error))?;
    verified(&coming_back(&path)).await?;
    swap(&path, set_aside.as_deref()).map_err(|error| cannot(&path, &error))?;
    // opening may have to upgrade it, which takes the lock
    drop(alone);
    drop(lock);
    let (counts, missing_photos) = opened(&path)
        .await
        .map_err(|error| StoreError::NotAsBefore { why: error.to_string(), set_aside: set_aside.clone() })?;
    Ok(Restored { counts, photos, missing_photos, set_aside, newer })
}

/// Opens the new studio and looks through it.
async fn opened(path: &Path) -> Result<([i64; 3], usize), StoreError> {
    let store = Store::open(&Address::File(path.to_owned())).await?;
    let checked = store.check().await?;
    store.close().await;
    match checked.faults.is_empty() {
        true => Ok((checked.counts, checked.missing_photos.len())),
        false => Err(StoreError::Failed(checked.faults.join("; "))),
    }
}

async fn refuse_what_cannot_come_back(path: &Path, copy: &Path) -> Result<(), StoreError> {
    let cannot = |why: &str| Err(StoreError::CannotUse { path: copy.to_owned(), why: why.to_owned() });
    if is_database(copy)? == Found::Nothing {
        return cannot("there is no copy");
    }
    let is_ours = |name: &Path| {
        copy.canonicalize().is_ok_and(|copy| name.canonicalize().is_ok_and(|name| copy == name))
    };
    if is_ours(path) || is_ours(&coming_back(path)) {
        return cannot("it is the studio itself; name the copy");
    }
    if std::fs::metadata(beside(copy, "-wal")).is_ok_and(|metadata| metadata.len() > 0) {
        return cannot(
            "it is a studio with its journal beside it; make a copy of it with `lengthwise backup` first",
        );
    }
    verified(copy).await?;
    if let Some(pictures) = photos::of_a_copy(copy) {
        photos::verify(&pictures).map_err(|why| StoreError::Damaged {
            path: copy.to_owned(),
            why,
            copy: None,
        })?;
    }
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
    Ok(crate::connect::reader(&crate::connect::read_only_url(path)?).await?)
}

/// The id of every entry of a copy, and a number for the studio it becomes: the copy keeps its own.
async fn entries(copy: &Path) -> Result<(HashSet<String>, i32), StoreError> {
    let mut connection = read_only(copy).await?;
    let rows = sqlx::query("SELECT id FROM change_set").fetch_all(&mut connection).await;
    let number = own_number::draw(&mut connection).await;
    connection.close().await?;
    let known: Result<_, StoreError> = rows?.iter().map(|row| Ok(row.try_get("id")?)).collect();
    Ok((known?, number?))
}

/// The photos a studio has records of, each with its golfer; none where it cannot be read.
async fn photos_of(studio: &Path) -> Vec<(Id, Id)> {
    if !look_at(studio).is_ok_and(|found| found == Found::Database) {
        return Vec::new();
    }
    let read = async {
        let mut connection = read_only(studio).await?;
        let rows = sqlx::query("SELECT id, golfer_id FROM photo").fetch_all(&mut connection).await;
        connection.close().await?;
        let ids = rows?.into_iter().map(|row| Ok((row.try_get("id")?, row.try_get("golfer_id")?)));
        ids.collect::<Result<Vec<(String, String)>, StoreError>>()
    };
    let ids = read.await.unwrap_or_default();
    ids.iter().filter_map(|(photo, golfer)| Some((Id::parse(photo).ok()?, Id::parse(golfer).ok()?))).collect()
}

/// What a studio holds that a copy does not.
async fn newer_than(studio: &Path, known: &HashSet<String>) -> Newer {
    if look_at(studio).is_ok_and(|found| found == Found::Nothing) {
        return Newer::Nothing;
    }
    let read = async {
        let mut connection = read_only(studio).await?;
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

/// The files of a studio, the file itself before its journal: without the file nothing is opened, with it alone its last
/// entries would be missing.
fn parts(path: &Path) -> [PathBuf; 3] {
    [path.to_owned(), beside(path, "-wal"), beside(path, "-shm")]
}

fn has_anything(path: &Path) -> bool {
    parts(path).iter().chain([&photos::folder_beside(path)]).any(|part| part.exists())
}

fn part_in(folder: &Path, part: &Path) -> PathBuf {
    folder.join(part.file_name().unwrap_or_default())
}

/// A folder named by the moment in which no studio lies yet: what was set aside before is never written over, not even by
/// a clock that shows the same moment twice.
fn new_set_aside(path: &Path, now: DateTime) -> PathBuf {
    let name = format!("set-aside-{}", now.strftime("%Y%m%d-%H%M%S-%3f"));
    let mut folder = path.with_file_name(&name);
    let mut number = 2;
    while part_in(&folder, path).exists() {
        folder = path.with_file_name(format!("{name}-{number}"));
        number += 1;
    }
    folder
}

fn last_set_aside(path: &Path) -> Option<PathBuf> {
    set_aside(path).max()
}

/// The folders with what was set aside of a studio: nothing of ours touches them again.
pub(crate) fn set_aside(path: &Path) -> impl Iterator<Item = PathBuf> {
    let entries = path.parent().and_then(|folder| std::fs::read_dir(folder).ok());
    entries.into_iter().flatten().flatten().map(|entry| entry.path()).filter(move |folder| {
        let name = folder.file_name().and_then(|name| name.to_str());
        name.is_some_and(|name| name.starts_with("set-aside-")) && part_in(folder, path).exists()
    })
}

/// Lays everything ready, safely on disk, while the old studio still stands: its pictures are set aside as second names,
/// since a picture is never changed and another studio of the folder may have them too; those of the copy join them; and
/// the copy lies beside the studio under a name that says a restore is under way. Returns how many pictures came back.
fn lay_ready(path: &Path, copy: &Path, set_aside: Option<&Path>) -> Result<usize, StoreError> {
    let ready = coming_back(path);
    let pictures = photos::folder_beside(path);
    let laid = || -> std::io::Result<usize> {
        if let Some(folder) = set_aside {
            make_private_folder(folder)?;
            photos::lay_into(&pictures, &part_in(folder, &pictures), Laid::AsLinks)?;
        }
        let came = match photos::of_a_copy(copy) {
            Some(from) => photos::lay_into(&from, &pictures, Laid::AsCopies)?.len(),
            None => 0,
        };
        if ready.exists() {
            std::fs::remove_file(&ready)?;
        }
        copy_bytes(copy, &ready)?;
        sync_folder_of(&ready)?;
        Ok(came)
    };
    let came = laid().map_err(|error| cannot(path, &error));
    if came.is_err() && path.exists() {
        // the old studio stands: what was laid beside it is of no use to anyone
        drop(std::fs::remove_file(&ready));
    }
    came
}

/// Moves the old file and its journal aside and the new one into its place.
fn swap(path: &Path, set_aside: Option<&Path>) -> std::io::Result<()> {
    if let Some(folder) = set_aside {
        for part in parts(path).iter().filter(|part| part.exists()) {
            std::fs::rename(part, part_in(folder, part))?;
        }
        sync_folder_of(&folder.join("-"))?;
        sync_folder_of(path)?;
    }
    std::fs::rename(coming_back(path), path)?;
    sync_folder_of(path)
}

fn cannot(path: &Path, error: &std::io::Error) -> StoreError {
    match error.kind() {
        std::io::ErrorKind::StorageFull => StoreError::DiskFull,
        _ => StoreError::CannotUse { path: path.to_owned(), why: error.to_string() },
    }
}
