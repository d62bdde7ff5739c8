//! Copies of a studio while it is open, each verified before it carries its name; and checking a studio.
//!
//! A copy is a file and, where there are photos, a folder of the same name that ends in `.photos`, with a manifest. The
//! file gets its name last: where it stands, the photos stand too.

use crate::photos::{self, Laid};
use crate::private::{make_empty, make_private_folder, sync_folder_of, write_whole};
use crate::rotation::{Why, file_name, superfluous};
use crate::whole::{check_definitions, check_mark, check_whole, every_fault};
use crate::{Address, Photos, Store, StoreError, own_number};
use jiff::ToSpan;
use jiff::civil::{Date, DateTime};
use sqlx::{AnyConnection, Connection, Row};
use std::path::{Path, PathBuf};
use studio::Id;

/// A copy that was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Backup {
    /// Where it lies.
    pub path: PathBuf,
    /// How many golfers, readings and jobs it holds.
    pub counts: [i64; 3],
    /// How many photos lie beside it.
    pub photos: usize,
}

/// What a check of the studio found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Checked {
    /// What is wrong; empty when all is well.
    pub faults: Vec<String>,
    /// Photos whose picture is not there.
    pub missing_photos: Vec<Id>,
    /// What is no fault and may be worth a look.
    pub notes: Vec<String>,
    /// How many golfers, readings and jobs there are.
    pub counts: [i64; 3],
}

const COUNTS: &str = "SELECT CAST((SELECT COUNT(*) FROM golfer) AS BIGINT) AS golfers, CAST((SELECT COUNT(*) FROM reading) AS \
                      BIGINT) AS readings, CAST((SELECT COUNT(*) FROM job) AS BIGINT) AS jobs";
/// Where it is written down that a copy was put on another drive: the day.
const ELSEWHERE: &str = "elsewhere.txt";

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
        let _alone = self.inner.copying.lock().await;
        // a reader of its own: whoever writes meanwhile is not kept waiting
        let mut reader = self.inner.readers.acquire().await?;
        let Some(to) = to else { return copy_of(&mut reader, path, Why::Hand, now).await };
        let backup = copy_to(&mut reader, path, to, Laid::AsCopies).await?;
        if self.only_read().is_none() && is_on_another_drive(path, to) {
            let folder = folder_beside(path);
            let day = now.date().to_string();
            make_private_folder(&folder)
                .and_then(|()| write_whole(&folder.join(ELSEWHERE), day.as_bytes()))
                .map_err(|error| StoreError::CannotUse { path: path.clone(), why: error.to_string() })?;
        }
        Ok(backup)
    }

    /// Makes a copy before much is taken in at once; a database on a server has the server's own.
    ///
    /// # Errors
    /// As [`Store::backup`].
    pub async fn backup_before_import(&self, now: DateTime) -> Result<Option<Backup>, StoreError> {
        let Address::File(path) = &self.inner.address else { return Ok(None) };
        self.backup_before(path, Why::Import, now).await.map(Some)
    }

    /// Makes a copy before a golfer is forgotten; a database on a server has the server's own.
    ///
    /// # Errors
    /// As [`Store::backup`].
    pub async fn backup_before_forgetting(&self, now: DateTime) -> Result<Option<Backup>, StoreError> {
        let Address::File(path) = &self.inner.address else { return Ok(None) };
        self.backup_before(path, Why::Forget, now).await.map(Some)
    }

    async fn backup_before(&self, path: &Path, why: Why, now: DateTime) -> Result<Backup, StoreError> {
        let _alone = self.inner.copying.lock().await;
        let mut reader = self.inner.readers.acquire().await?;
        let backup = copy_of(&mut reader, path, why, now).await?;
        self.remove_superfluous(path, now);
        Ok(backup)
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
        let _alone = self.inner.copying.lock().await;
        let today =
            copies_beside(path).iter().any(|(why, at, _)| *why == Why::Day && at.date() == now.date());
        let why = match (today, has_changed) {
            (false, _) => Why::Day,
            (true, true) => Why::Hour,
            (true, false) => return Ok(None),
        };
        let mut reader = self.inner.readers.acquire().await?;
        let backup = copy_of(&mut reader, path, why, now).await?;
        self.remove_superfluous(path, now);
        Ok(Some(backup))
    }

    /// Removes what is no longer needed, unless the clock may be wrong.
    fn remove_superfluous(&self, path: &Path, now: DateTime) {
        if !self.is_clock_in_doubt() {
            remove_superfluous(path, now);
        }
    }

    /// Returns the day on which a copy was last put on another drive; `None` when none ever was.
    #[must_use]
    pub fn last_copy_elsewhere(&self) -> Option<Date> {
        let Address::File(path) = &self.inner.address else { return None };
        let text = std::fs::read_to_string(folder_beside(path).join(ELSEWHERE)).ok()?;
        text.trim().parse().ok()
    }

    /// Checks the whole studio: the file's pages, what hangs on what, that every record can be read, and that every photo
    /// is there.
    ///
    /// # Errors
    /// When it cannot be read at all.
    pub async fn check(&self) -> Result<Checked, StoreError> {
        let (mut faults, mut missing_photos, mut notes) = (Vec::new(), Vec::new(), Vec::new());
        let mut connection = self.inner.readers.acquire().await?;
        if matches!(self.inner.address, Address::File(_)) {
            faults = every_fault(&mut connection).await?;
        }
        let counts = counts(&mut connection).await?;
        drop(connection);
        const GOLFERS: &str = "SELECT id FROM golfer ORDER BY seq";
        let mut named = Vec::new();
        for row in sqlx::query(GOLFERS).fetch_all(&self.inner.readers).await? {
            let id: String = row.try_get("id")?;
            let Ok(golfer) = Id::parse(&id) else {
                faults.push("a golfer has an id that is none".to_owned());
                continue;
            };
            match self.dossier(&golfer).await {
                Ok(dossier) => named.extend(dossier.photos.into_iter().map(|kept| kept.record.id)),
                Err(error) => faults.push(format!("golfer {golfer}: {error}")),
            }
        }
        if let Some(photos) = Photos::of(&self.inner.address) {
            let (missing, unnamed) = photos.against(&named)?;
            missing_photos = missing;
            notes
                .extend(unnamed.iter().map(|name| format!("photos/{name} belongs to no photo that is kept")));
        }
        Ok(Checked { faults, missing_photos, notes, counts })
    }
}

/// The folder of the copies, beside the studio.
pub(crate) fn folder_beside(path: &Path) -> PathBuf {
    path.with_file_name("backups")
}

/// The folder of a copy's photos.
pub(crate) fn photos_of(copy: &Path) -> PathBuf {
    copy.with_extension("photos")
}

/// Every copy in the folder beside the studio: why, when and where.
fn copies_beside(path: &Path) -> Vec<(Why, DateTime, PathBuf)> {
    let folder = folder_beside(path);
    let entries = std::fs::read_dir(&folder).into_iter().flatten().flatten();
    let names = entries.filter_map(|entry| entry.file_name().into_string().ok());
    let studio = stem(path);
    names
        .filter_map(|name| Why::and_time_of(&studio, &name).map(|(why, at)| (why, at, folder.join(name))))
        .collect()
}

/// What the copies of a studio are called after: its own name, without the usual ending.
fn stem(path: &Path) -> String {
    let name =
        path.file_name().map_or_else(|| "studio".to_owned(), |name| name.to_string_lossy().into_owned());
    name.strip_suffix(".db").map_or_else(|| name.clone(), str::to_owned)
}

/// The newest copy in the folder beside the studio; each was verified before it carried its name.
pub(crate) fn newest_copy(path: &Path) -> Option<PathBuf> {
    copies_beside(path).into_iter().max_by_key(|(_, at, _)| *at).map(|(_, _, copy)| copy)
}

fn remove_superfluous(path: &Path, now: DateTime) {
    let copies = copies_beside(path);
    let names: Vec<String> =
        copies.iter().filter_map(|(_, _, copy)| Some(copy.file_name()?.to_str()?.to_owned())).collect();
    for name in superfluous(&stem(path), &names, now) {
        let copy = folder_beside(path).join(name);
        // the file first: photos alone are no copy; one that cannot be removed is no harm
        if std::fs::remove_file(&copy).is_ok() {
            drop(std::fs::remove_dir_all(photos_of(&copy)));
        }
    }
}

/// Whether a copy lies where a failing drive would not take it along.
#[cfg(unix)]
fn is_on_another_drive(path: &Path, to: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let drive = |path: &Path| std::fs::metadata(path).map(|metadata| metadata.dev());
    matches!((drive(path), drive(to)), (Ok(ours), Ok(theirs)) if ours != theirs)
}

/// Whether a copy lies where a failing drive would not take it along.
#[cfg(not(unix))]
fn is_on_another_drive(path: &Path, to: &Path) -> bool {
    let drive = |path: &Path| {
        path.canonicalize()
            .ok()
            .and_then(|path| path.components().next().map(|part| part.as_os_str().to_owned()))
    };
    drive(path) != drive(to)
}

/// Makes the copy before an upgrade, named by when the file was written last. One that an earlier try made is as good.
pub(crate) async fn copy_before_upgrade(
    connection: &mut AnyConnection,
    path: &Path,
    written: DateTime,
) -> Result<(), StoreError> {
    let there = folder_beside(path).join(file_name(&stem(path), Why::Upgrade, written));
    if there.exists() {
        return verified(&there).await.map(drop);
    }
    copy_of(connection, path, Why::Upgrade, written).await.map(drop)
}

/// Makes a verified copy in the backups folder beside the studio.
async fn copy_of(
    connection: &mut AnyConnection,
    path: &Path,
    why: Why,
    now: DateTime,
) -> Result<Backup, StoreError> {
    let folder = folder_beside(path);
    make_private_folder(&folder)
        .map_err(|error| StoreError::CannotUse { path: folder.clone(), why: error.to_string() })?;
    // a copy of the hour shares its pictures with the studio: what guards them against a failing disk is the day's
    let laid = if why == Why::Hour { Laid::AsLinks } else { Laid::AsCopies };
    let mut named = now;
    let to = loop {
        let to = folder.join(file_name(&stem(path), why, named));
        // one that was asked for at the same moment has its name already
        match named.checked_add(1.millisecond()) {
            Ok(next) if to.exists() => named = next,
            _ => break to,
        }
    };
    copy_to(connection, path, &to, laid).await
}

async fn copy_to(
    connection: &mut AnyConnection,
    path: &Path,
    to: &Path,
    laid: Laid,
) -> Result<Backup, StoreError> {
    let cannot = |why: String| StoreError::CannotUse { path: to.to_owned(), why };
    if to.exists() || photos_of(to).exists() {
        return Err(cannot("there is a file of that name already".to_owned()));
    }
    let partial = crate::file::beside(to, ".partial");
    // a copy that was cut off halfway is of no use to anyone
    drop(std::fs::remove_file(&partial));
    let name = partial.to_str().ok_or_else(|| cannot("its name is not UTF-8".to_owned()))?;
    // others may write while the copy is made: it holds what there was at one moment in between
    let before = counts(connection).await?;
    let made = async {
        make_empty(&partial).map_err(|error| cannot(error.to_string()))?;
        if let Err(error) = sqlx::query("VACUUM INTO $1").bind(name).execute(&mut *connection).await {
            return Err(laid_at_the_right_door(connection, path, to, error.into()).await);
        }
        let number = own_number::draw(connection).await?;
        own_number::give_another(&partial, number).map_err(|error| cannot(error.to_string()))?;
        let after = counts(connection).await?;
        let counts = verified_between(&partial, before, after).await?;
        place(path, &partial, to, laid).map(|photos| (counts, photos))
    };
    let placed = made.await;
    if placed.is_err() {
        drop(std::fs::remove_file(&partial));
    }
    placed.map(|(counts, photos)| Backup { path: to.to_owned(), counts, photos })
}

/// What was found wrong while a copy was written is the copy's drive's as long as the studio itself reads whole: a
/// failing drive for copies is no reason to stop writing.
async fn laid_at_the_right_door(
    connection: &mut AnyConnection,
    path: &Path,
    to: &Path,
    error: StoreError,
) -> StoreError {
    let StoreError::Unsound(why) = error else { return error };
    match check_whole(connection, path).await {
        Ok(()) => StoreError::CannotUse { path: to.to_owned(), why },
        Err(_) => StoreError::Unsound(why),
    }
}

/// Gives a verified copy its photos and then its name.
fn place(path: &Path, partial: &Path, to: &Path, laid: Laid) -> Result<usize, StoreError> {
    let cannot =
        |error: std::io::Error| StoreError::CannotUse { path: to.to_owned(), why: error.to_string() };
    let photos = photos::lay_beside(&photos::folder_beside(path), &photos_of(to), laid).map_err(cannot)?;
    give_name(partial, to, sync_folder_of).map_err(cannot)?;
    Ok(photos)
}

/// Gives a copy its name, safely on disk. Its photos go when it gets none; once it has it, they stay, even when the disk
/// does not say that it keeps the name: a copy without its photos would pass for a whole one.
fn give_name(
    partial: &Path,
    to: &Path,
    sync_name: impl Fn(&Path) -> std::io::Result<()>,
) -> std::io::Result<()> {
    let named = std::fs::File::open(partial)
        .and_then(|file| file.sync_all())
        .and_then(|()| std::fs::rename(partial, to));
    if named.is_err() {
        drop(std::fs::remove_dir_all(photos_of(to)));
    }
    named.and_then(|()| sync_name(to))
}

/// Opens a copy and looks whether it is a whole studio; returns its counts.
pub(crate) async fn verified(copy: &Path) -> Result<[i64; 3], StoreError> {
    let mut connection = crate::connect::reader(&crate::connect::read_only_url(copy)?).await?;
    let looked = look_into(&mut connection, copy).await;
    connection.close().await?;
    looked
}

async fn look_into(connection: &mut AnyConnection, copy: &Path) -> Result<[i64; 3], StoreError> {
    check_mark(connection, copy).await?;
    check_definitions(connection, copy).await.map_err(|error| match error {
        // a copy has no copies of its own
        StoreError::Damaged { path, why, .. } => StoreError::Damaged { path, why, copy: None },
        other => other,
    })?;
    let damaged = |why: String| StoreError::Damaged { path: copy.to_owned(), why, copy: None };
    let faults = every_fault(connection).await.map_err(|error| damaged(error.to_string()))?;
    if !faults.is_empty() {
        return Err(damaged(faults.join("; ")));
    }
    counts(connection).await
}

/// Holds a copy against what the studio held before and after it was made.
async fn verified_between(copy: &Path, before: [i64; 3], after: [i64; 3]) -> Result<[i64; 3], StoreError> {
    let counts = verified(copy).await?;
    let is_between = (0..3).all(|at| (before[at]..=after[at]).contains(&counts[at]));
    if is_between {
        return Ok(counts);
    }
    let why = format!("it holds {counts:?} golfers, readings and jobs, the studio {before:?} to {after:?}");
    Err(StoreError::Damaged { path: copy.to_owned(), why, copy: None })
}

pub(crate) async fn counts(connection: &mut AnyConnection) -> Result<[i64; 3], StoreError> {
    let row = sqlx::query(COUNTS).fetch_one(&mut *connection).await?;
    Ok([row.try_get("golfers")?, row.try_get("readings")?, row.try_get("jobs")?])
}

#[cfg(test)]
mod tests {
    use super::{give_name, laid_at_the_right_door, photos_of};
    use crate::{Address, Store, StoreError};
    use sqlx::Connection;
    use std::path::Path;

    /// An error of input or output while a copy is written: of the copy's drive while the studio reads whole, of the
    /// studio once it does not.
    #[tokio::test]
    async fn a_failing_drive_for_copies_does_not_stop_the_studio() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("studio.db");
        let store = Store::open(&Address::File(path.clone())).await.unwrap();
        let to = Path::new("/another drive/copy.db");
        let told = || StoreError::Unsound("disk I/O error".to_owned());
        let mut reader = store.inner.readers.acquire().await.unwrap();
        let error = laid_at_the_right_door(&mut reader, &path, to, told()).await;
        assert!(matches!(&error, StoreError::CannotUse { path, .. } if path == to), "{error}");
        store.heed(&error);
        assert_eq!(store.stopped(), None);
        drop(reader);
        store.close().await;
        // zeros over a page in the middle, as a failing drive leaves it
        let mut bytes = std::fs::read(&path).unwrap();
        bytes[8192..12288].fill(0);
        std::fs::write(&path, bytes).unwrap();
        let mut reader =
            sqlx::AnyConnection::connect(&crate::connect::read_only_url(&path).unwrap()).await.unwrap();
        let error = laid_at_the_right_door(&mut reader, &path, to, told()).await;
        assert!(matches!(error, StoreError::Unsound(_)), "{error}");
    }

    /// The disk fails before the name is given, or after.
    #[test]
    fn a_copy_has_its_photos_whenever_it_has_its_name() {
        let folder = tempfile::tempdir().unwrap();
        let (partial, to) = (folder.path().join("copy.db.partial"), folder.path().join("copy.db"));
        let fails = |_: &Path| Err(std::io::Error::other("the disk failed"));
        std::fs::create_dir(photos_of(&to)).unwrap();
        std::fs::write(&partial, "copy").unwrap();
        assert!(give_name(&partial, &to, fails).is_err());
        assert!(to.exists() && photos_of(&to).exists());
        std::fs::remove_file(&to).unwrap();
        assert!(give_name(&partial, &to, fails).is_err(), "there is nothing to give a name to");
        assert!(!to.exists() && !photos_of(&to).exists());
    }
}
