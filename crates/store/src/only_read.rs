//! A studio that is only read: because that is wished, or because its medium takes nothing.
//!
//! Nothing is written into it then, and no copy is made. Where files can be made beside it, there is the mark that it is
//! open, so that nobody puts another in its place, and what SQLite needs to read beside who writes. A file in write-ahead mode needs
//! its side files, or a folder to make them in; where neither is to be had it is read as one that never changes, which is
//! true of a medium that takes nothing as long as no journal lies beside it.

use crate::connect::{Manner, READERS, Stopped, Writer, look_with, read_only_url, reader};
use crate::file::{Found, beside, look_at_as, refuse_a_cut_off_restore};
use crate::lock::InUse;
use crate::settings::settle_reader;
use crate::whole::damaged_by;
use crate::{Address, Store, StoreError, own_number, schema};
use sqlx::any::{AnyConnectOptions, AnyPoolOptions};
use sqlx::{AnyConnection, Connection};
use std::fmt;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::str::FromStr;
use std::time::Duration;

/// Why there is nothing to be read.
pub(crate) const NO_STUDIO: &str = "there is no studio to be read";
/// Why what is there is not read.
pub(crate) const OLDER: &str = "an older version wrote it, and it has to be upgraded where it can be written";

/// Why a studio is only read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnlyRead {
    /// It was asked for.
    Wished,
    /// Its file or folder cannot be written.
    CannotBeWritten,
}

impl fmt::Display for OnlyRead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Wished => "it was opened to be read only",
            Self::CannotBeWritten => "its file or folder cannot be written",
        })
    }
}

impl Store {
    /// Returns why nothing is written; `None` where the studio is written as usual.
    #[must_use]
    pub fn only_read(&self) -> Option<OnlyRead> {
        match &self.inner.writer {
            Writer::Nobody(why) => Some(*why),
            Writer::Alone(_) | Writer::Together | Writer::Pool => None,
        }
    }

    /// Refuses to write a studio that is only read.
    ///
    /// # Errors
    /// [`StoreError::OnlyRead`], with why.
    pub fn refuse_when_only_read(&self) -> Result<(), StoreError> {
        self.only_read().map_or(Ok(()), |why| Err(StoreError::OnlyRead(why)))
    }

    pub(crate) async fn open_only_read(path: &Path, why: OnlyRead) -> Result<Self, StoreError> {
        let path = path.canonicalize().map_err(|error| cannot(path, error.to_string()))?;
        refuse_a_cut_off_restore(&path, look_at_as(&path, Manner::OnlyRead)?)?;
        let in_use = match InUse::shared(&path) {
            Ok(in_use) => Some(in_use),
            Err(StoreError::CannotUse { .. }) => None,
            Err(other) => return Err(other),
        };
        let own_number = own_number::in_the_file(&path)?;
        let (mut reader, url) = reader_of(&path).await?;
        let looked = look_with(&mut reader, &path, own_number, false).await;
        let version = schema::version_there(&mut reader).await;
        reader.close().await?;
        looked?;
        if version? < schema::NEWEST {
            return Err(cannot(&path, OLDER.to_owned()));
        }
        let readers = AnyPoolOptions::new()
            .max_connections(READERS)
            .acquire_timeout(Duration::from_secs(10))
            .after_connect(|connection, _| Box::pin(settle_reader(connection)))
            .connect_with(AnyConnectOptions::from_str(&url)?)
            .await?;
        let writer = Writer::Nobody(why);
        Ok(Self::of(Address::File(path), readers, writer, Stopped::default(), in_use))
    }
}

/// Why a file has to be opened to be read only; `None` where it can be written, or where there is none yet.
pub(crate) fn why_only_read(path: &Path, manner: Manner) -> Result<Option<OnlyRead>, StoreError> {
    let is_there = path.exists() && look_at_as(path, manner)? == Found::Database;
    match manner {
        Manner::OnlyRead if is_there => Ok(Some(OnlyRead::Wished)),
        Manner::OnlyRead => Err(cannot(path, NO_STUDIO.to_owned())),
        Manner::Usual | Manner::OnNetworkDrive => {
            Ok((is_there && !can_be_written(path)).then_some(OnlyRead::CannotBeWritten))
        }
    }
}

/// Whether the system lets us write the file, and files beside it.
#[cfg(unix)]
fn can_be_written(path: &Path) -> bool {
    use rustix::fs::{Access, access};
    let real = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let folder = real.parent().map_or_else(|| PathBuf::from("."), Path::to_owned);
    let lets = |place: &Path| match access(place, Access::WRITE_OK) {
        Ok(()) => true,
        // what else is wrong with it is told when it is opened
        Err(error) => !is_denied(std::io::Error::from(error).kind()),
    };
    lets(&real) && lets(&folder)
}

/// Whether the system lets us write the file, and files beside it.
#[cfg(not(unix))]
fn can_be_written(path: &Path) -> bool {
    let is_marked = std::fs::metadata(path).is_ok_and(|metadata| metadata.permissions().readonly());
    let made = std::fs::OpenOptions::new().append(true).create(true).open(beside(path, ".in-use"));
    !is_marked && !made.is_err_and(|error| is_denied(error.kind()))
}

fn is_denied(kind: ErrorKind) -> bool {
    matches!(kind, ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem)
}

/// Connects to a file to read it, and gives the address under which it could be read.
async fn reader_of(path: &Path) -> Result<(AnyConnection, String), StoreError> {
    let url = read_only_url(path)?;
    let told = match try_to_read(&url).await {
        Ok(reader) => return Ok((reader, url)),
        Err(error) => error,
    };
    let has_journal = std::fs::metadata(beside(path, "-wal")).is_ok_and(|journal| journal.len() > 0);
    if has_journal {
        return Err(cannot(
            path,
            "its journal lies beside it, which can only be read where files can be made: copy the whole folder to such \
             a place"
                .to_owned(),
        ));
    }
    if can_be_written(path) {
        // somebody may write it
        return Err(damaged_by(path, told));
    }
    let url = format!("{url}&immutable=1");
    let reader = try_to_read(&url).await.map_err(|error| damaged_by(path, error))?;
    Ok((reader, url))
}

async fn try_to_read(url: &str) -> Result<AnyConnection, sqlx::Error> {
    let mut reader = reader(url).await?;
    sqlx::query("SELECT COUNT(*) FROM sqlite_schema").fetch_one(&mut reader).await?;
    Ok(reader)
}

fn cannot(path: &Path, why: String) -> StoreError {
    StoreError::CannotUse { path: path.to_owned(), why }
}
