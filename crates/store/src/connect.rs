//! Opening a studio and its connections.
//!
//! A SQLite file has one writing connection and a few reading ones, each with the settings that make an acknowledged
//! change survive a power cut, read back and compared. The first connection opens alone, as it may have to recover.

use crate::file::{Found, beside, look_at_as, real_path, refuse_a_cut_off_restore};
use crate::instants::Instants;
use crate::lock::InUse;
use crate::only_read::{OnlyRead, why_only_read};
use crate::private::{make_empty, make_private};
use crate::settings::{refuse_old_sqlite, settle, settle_alone, settle_reader};
use crate::whole::{
    WRITE_MARK, check_definitions, check_mark, check_whole, damaged, damaged_by, every_fault, is_blank,
};
use crate::{Address, ServerLock, StoreError, own_number, schema, server};
use sqlx::any::{AnyConnectOptions, AnyPoolOptions};
use sqlx::{AnyConnection, AnyPool, Connection, Row};
use std::fmt;
use std::path::{Path, PathBuf};
use std::str::FromStr;
use std::sync::{Arc, OnceLock};
use std::time::{Duration, Instant};
use tokio::sync::{Mutex, watch};

/// Files up to this size are checked page by page before they are opened; larger ones straight after, so that a large
/// studio opens at once. House choice: about a tenth of a second.
const CHECKED_AT_ONCE: u64 = 48 * 1024 * 1024;
/// How long an upgrade or an opening waits for another program's to end. House choice.
const PATIENCE: Duration = Duration::from_secs(10);
/// What is half written for longer than this was left behind. House choice.
const LEFT_BEHIND: Duration = Duration::from_secs(3600);
/// Readers of a SQLite file. House choice.
pub(crate) const READERS: u32 = 4;

/// A studio that is open.
#[derive(Clone)]
pub struct Store {
    pub(crate) inner: Arc<Inner>,
}

pub(crate) struct Inner {
    pub(crate) address: Address,
    pub(crate) readers: AnyPool,
    pub(crate) writer: Writer,
    /// The newest place in the sequence of changes, for those who watch.
    pub(crate) newest: watch::Sender<i64>,
    /// Why nothing more is written, once something was found wrong, and since when.
    pub(crate) stopped: Stopped,
    /// What the clock showed last.
    pub(crate) instants: Instants,
    /// Held while a copy is made: two at once would write under one name.
    pub(crate) copying: Mutex<()>,
    /// While it is held nobody puts another file in this one's place.
    _in_use: Option<InUse>,
}

/// Why nothing more is written, and since when.
pub(crate) type Stopped = Arc<OnceLock<(String, Instant)>>;

/// How a studio is opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Manner {
    /// To be read and written; a file that cannot be written is only read.
    #[default]
    Usual,
    /// To be read only: nothing is made, upgraded or written.
    OnlyRead,
    /// On a network drive too: by this program alone, through one connection that holds the file for itself, with a
    /// journal that needs no memory shared with others.
    OnNetworkDrive,
}

/// Who writes.
pub(crate) enum Writer {
    /// Nobody: the studio is only read.
    Nobody(OnlyRead),
    /// The one writing connection of a SQLite file; none once the studio is closed.
    Alone(Mutex<Option<AnyConnection>>),
    /// The one connection of the pool, which reads too: a file on a network drive.
    Together,
    /// Any connection of the pool; an advisory lock puts writes in order.
    Pool,
}

impl std::fmt::Debug for Store {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Store({})", self.inner.address)
    }
}

impl Store {
    /// Opens a studio; a file that is not there is made.
    ///
    /// # Errors
    /// [`StoreError`] that names what was found; a file that is damaged, newer or not ours is left as it is.
    pub async fn open(address: &Address) -> Result<Self, StoreError> {
        Self::open_as(address, Manner::Usual).await
    }

    /// Opens a studio in a manner of its own; a file that is not there is made, unless it is only to be read.
    ///
    /// # Errors
    /// As [`Store::open`]; [`StoreError::CannotUse`] for a studio that is only to be read and not there, was written by an
    /// older version, or has a journal that cannot be read where it lies.
    pub async fn open_as(address: &Address, manner: Manner) -> Result<Self, StoreError> {
        sqlx::any::install_default_drivers();
        let store = match address {
            Address::File(path) => match Self::open_path(path, manner).await {
                // nothing was open yet that could have been stopped
                Err(StoreError::Unsound(why)) => return Err(damaged(path, &why)),
                opened => opened?,
            },
            Address::Server(_) => {
                let (pool, address) = server::open(address, manner).await?;
                let writer = match manner {
                    Manner::OnlyRead => Writer::Nobody(OnlyRead::Wished),
                    Manner::Usual | Manner::OnNetworkDrive => Writer::Pool,
                };
                Self::of(address, pool, writer, Stopped::default(), None)
            }
        };
        store.note_newest().await?;
        if store.only_read().is_none() {
            store.finish_forgetting().await?;
        }
        Ok(store)
    }

    async fn open_path(path: &Path, manner: Manner) -> Result<Self, StoreError> {
        match why_only_read(path, manner)? {
            Some(why) => Self::open_only_read(path, why).await,
            None => Self::open_file_in_time(path, manner).await,
        }
    }

    /// Opens a studio that is there already; none is made.
    ///
    /// # Errors
    /// As [`Store::open`], and [`StoreError::CannotUse`] when there is no studio.
    pub async fn open_there(address: &Address) -> Result<Self, StoreError> {
        if let Address::File(path) = address
            && look_at_as(path, Manner::Usual)? == Found::Nothing
        {
            return Err(StoreError::CannotUse { path: path.clone(), why: "there is no studio".to_owned() });
        }
        Self::open(address).await
    }

    /// Opens a file; while another makes or opens it at the same moment, it is tried again.
    async fn open_file_in_time(path: &Path, manner: Manner) -> Result<Self, StoreError> {
        const PAUSE: Duration = Duration::from_millis(20);
        let began = Instant::now();
        loop {
            match Self::open_file(path.to_owned(), manner).await {
                Err(StoreError::Busy(_)) if began.elapsed() < PATIENCE => tokio::time::sleep(PAUSE).await,
                opened => return opened,
            }
        }
    }

    async fn open_file(path: PathBuf, manner: Manner) -> Result<Self, StoreError> {
        let path = real_path(&path)?;
        let found = look_at_as(&path, manner)?;
        let is_alone = manner == Manner::OnNetworkDrive;
        refuse_a_cut_off_restore(&path, found)?;
        tidy(&path);
        // first by one who cannot write: what is damaged, newer or not ours stays as it lies, and its journal too
        let in_use = if is_alone { InUse::alone(&path)? } else { InUse::shared(&path)? };
        let is_large = std::fs::metadata(&path).is_ok_and(|metadata| metadata.len() > CHECKED_AT_ONCE);
        if found == Found::Database {
            look_inside(&path, is_large).await?;
        }
        // before SQLite writes: its journal takes the rights of the file
        make_empty(&path)
            .map_err(|error| StoreError::CannotUse { path: path.clone(), why: error.to_string() })?;
        make_private(&path)?;
        let options = AnyConnectOptions::from_str(&file_url(&path)?)?;
        let mut first = if is_alone { writer_alone(&path).await? } else { writer_of(&path).await? };
        refuse_old_sqlite(&mut first).await?;
        let version = schema::version(&mut first).await?;
        if version == 0 {
            bring_up(&mut first, &path, 0).await?;
        } else if version < schema::NEWEST {
            // alone: two upgrades at once would make two copies of one name, and a server must not find it changed
            let lock = ServerLock::wait_for(&path, PATIENCE).await?;
            upgrade(&mut first, &path).await?;
            drop(lock);
        }
        let stopped = Stopped::default();
        let since = Arc::clone(&stopped);
        let (pool, writer) = if is_alone {
            first.close().await?;
            (first_and_last(), Writer::Together)
        } else {
            let pool = AnyPoolOptions::new()
                .max_connections(READERS)
                .after_connect(|connection, _| Box::pin(settle(connection)));
            (pool, Writer::Alone(Mutex::new(Some(first))))
        };
        let readers = pool
            .acquire_timeout(Duration::from_secs(10))
            // a connection from before the file was found wrong may hold pages that are
            .before_acquire(move |_, connection| {
                let is_old = since.get().is_some_and(|(_, since)| connection.age > since.elapsed());
                Box::pin(async move { Ok(!is_old) })
            })
            .connect_with(options)
            .await?;
        let store = Self::of(Address::File(path.clone()), readers, writer, stopped, Some(in_use));
        if is_large {
            let later = store.clone();
            tokio::spawn(async move { later.check_quickly().await });
        }
        Ok(store)
    }

    pub(crate) fn of(
        address: Address,
        readers: AnyPool,
        writer: Writer,
        stopped: Stopped,
        in_use: Option<InUse>,
    ) -> Self {
        let (newest, _) = watch::channel(0);
        Self {
            inner: Arc::new(Inner {
                instants: Instants::of(&address),
                address,
                readers,
                writer,
                newest,
                stopped,
                copying: Mutex::default(),
                _in_use: in_use,
            }),
        }
    }

    /// Returns where the studio lies.
    #[must_use]
    pub fn address(&self) -> &Address {
        &self.inner.address
    }

    /// Watches the newest place in the sequence of changes.
    #[must_use]
    pub fn watch(&self) -> watch::Receiver<i64> {
        self.inner.newest.subscribe()
    }

    /// Looks for changes other processes made, and tells those who watch.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn note_newest(&self) -> Result<i64, StoreError> {
        let sql = "SELECT CAST(COALESCE(MAX(seq), 0) AS BIGINT) AS newest FROM change_set";
        let newest: i64 = sqlx::query(sql).fetch_one(&self.inner.readers).await?.try_get("newest")?;
        self.inner.newest.send_if_modified(|known| {
            let is_new = *known < newest;
            *known = (*known).max(newest);
            is_new
        });
        Ok(newest)
    }

    /// Closes every connection, the writing one last: it folds the journal into the file. What was acknowledged is on disk
    /// before. A studio whose disk failed is left as it lies: closing
    /// it would write once more.
    pub async fn close(&self) {
        if self.stopped().is_some() {
            std::mem::forget(self.clone());
            return;
        }
        self.inner.readers.close().await;
        if let Writer::Alone(writer) = &self.inner.writer
            && let Some(last) = writer.lock().await.take()
            && let Err(error) = last.close().await
        {
            tracing::warn!(%error, "the last connection did not close well");
        }
    }
}

/// Connects to a file to write it.
pub(crate) async fn writer_of(path: &Path) -> Result<AnyConnection, StoreError> {
    let mut writer =
        AnyConnection::connect(&file_url(path)?).await.map_err(|error| damaged_by(path, error))?;
    settle(&mut writer).await.map_err(|error| damaged_by(path, error))?;
    Ok(writer)
}

/// Connects to read, also what may be damaged or another's: nothing in the file is trusted.
pub(crate) async fn reader(url: &str) -> Result<AnyConnection, sqlx::Error> {
    let mut reader = AnyConnection::connect(url).await?;
    settle_reader(&mut reader).await?;
    Ok(reader)
}

/// Connects to a file on a network drive, which nobody else has then.
async fn writer_alone(path: &Path) -> Result<AnyConnection, StoreError> {
    let mut writer =
        AnyConnection::connect(&file_url(path)?).await.map_err(|error| damaged_by(path, error))?;
    match settle_alone(&mut writer).await.map_err(|error| damaged_by(path, error)) {
        Err(StoreError::Busy(_)) => Err(StoreError::Served(
            "another program, perhaps on another machine, has the file open".to_owned(),
        )),
        settled => settled.map(|()| writer),
    }
}

/// A pool of one connection that is never given up.
fn first_and_last() -> AnyPoolOptions {
    AnyPoolOptions::new()
        .min_connections(1)
        .max_connections(1)
        .idle_timeout(None)
        .max_lifetime(None)
        .after_connect(|connection, _| Box::pin(settle_alone(connection)))
}

/// Looks into a file without changing a byte of it or of its journal: is it ours, of a version known here, and whole?
async fn look_inside(path: &Path, is_large: bool) -> Result<(), StoreError> {
    // a file whose making was cut off has a journal of the older kind, which only one who can write rolls back
    let is_half_made = std::fs::metadata(beside(path, "-journal")).is_ok_and(|journal| journal.len() > 0);
    let url = if is_half_made { file_url(path)? } else { read_only_url(path)? };
    let own_number = own_number::in_the_file(path)?;
    let mut reader = reader(&url).await.map_err(|error| damaged_by(path, error))?;
    let looked = look_with(&mut reader, path, own_number, is_large).await;
    reader.close().await?;
    looked
}

/// Looks into a file with a connection to it; `own_number` was read from it before.
pub(crate) async fn look_with(
    reader: &mut AnyConnection,
    path: &Path,
    own_number: i64,
    is_large: bool,
) -> Result<(), StoreError> {
    own_number::check_journal(reader, path, own_number).await?;
    if is_blank(reader, path).await? {
        return Ok(());
    }
    check_mark(reader, path).await?;
    let version = match schema::version_there(reader).await {
        Err(error) if !matches!(error, StoreError::Busy(_)) => return Err(damaged(path, &error)),
        read => read?,
    };
    if version > schema::NEWEST {
        return Err(schema::newer(reader, path.display().to_string(), version).await);
    }
    check_definitions(reader, path).await?;
    if is_large { Ok(()) } else { check_whole(reader, path).await }
}

/// Upgrades a file after a verified copy; where another program has upgraded it meanwhile, nothing is done.
async fn upgrade(first: &mut AnyConnection, path: &Path) -> Result<(), StoreError> {
    let version = schema::version_there(first).await?;
    if version >= schema::NEWEST {
        return Ok(());
    }
    let now = jiff::Timestamp::from_second(seconds_of(path)).unwrap_or_default();
    let now = now.to_zoned_datetime(jiff::tz::TimeZone::UTC).datetime();
    crate::backup::copy_before_upgrade(first, path, now).await?;
    bring_up(first, path, version).await
}

/// Makes the tables this version knows, in one transaction; what is not whole afterwards is not kept.
async fn bring_up(first: &mut AnyConnection, path: &Path, version: i64) -> Result<(), StoreError> {
    let mut upgrade = first.begin_with("BEGIN IMMEDIATE").await?;
    if schema::version_there(&mut upgrade).await? != version {
        // another program was quicker
        upgrade.rollback().await?;
        return Ok(());
    }
    let before = if version > 0 { crate::backup::counts(&mut upgrade).await? } else { [0; 3] };
    schema::upgrade(&mut upgrade, version).await?;
    let mut faults = every_fault(&mut upgrade).await?;
    let after = crate::backup::counts(&mut upgrade).await?;
    if after != before {
        faults.push(format!("{before:?} golfers, readings and jobs became {after:?}"));
    }
    if !faults.is_empty() {
        upgrade.rollback().await?;
        return Err(StoreError::NotUpgraded { path: path.to_owned(), why: faults.join("; ") });
    }
    // with the tables or not at all: without it the file would be nobody's
    sqlx::query(WRITE_MARK).execute(&mut *upgrade).await?;
    own_number::give(&mut upgrade).await?;
    upgrade.commit().await?;
    schema::note_upgrade(version);
    Ok(())
}

/// What an earlier run left half written is of no use to anyone.
fn tidy(path: &Path) {
    for folder in [crate::photos::folder_beside(path), crate::backup::folder_beside(path)] {
        for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
            let path = entry.path();
            // a younger one may be another program's, which is still at it
            let written = entry.metadata().and_then(|metadata| metadata.modified());
            let is_old = written.is_ok_and(|at| at.elapsed().is_ok_and(|age| age > LEFT_BEHIND));
            if is_old && path.extension().is_some_and(|extension| extension == "partial") {
                // one that cannot be removed is no harm
                drop(if path.is_dir() { std::fs::remove_dir_all(path) } else { std::fs::remove_file(path) });
            }
        }
    }
}

/// When a file was last written, seconds since 1970: the copy before an upgrade is named by what it holds.
fn seconds_of(path: &Path) -> i64 {
    let written = std::fs::metadata(path).and_then(|metadata| metadata.modified()).ok();
    let since = written.and_then(|written| written.duration_since(std::time::UNIX_EPOCH).ok());
    since.and_then(|since| i64::try_from(since.as_secs()).ok()).unwrap_or_default()
}

/// The URL of a file that is only read.
pub(crate) fn read_only_url(path: &Path) -> Result<String, StoreError> {
    Ok(file_url(path)?.replace("mode=rwc", "mode=ro"))
}

/// The URL of a file, with every sign a URL would take for its own written by its number.
pub(crate) fn file_url(path: &Path) -> Result<String, StoreError> {
    let text = path.to_str().ok_or_else(|| StoreError::CannotUse {
        path: path.to_owned(),
        why: "its name is not UTF-8".to_owned(),
    })?;
    let mut url = "sqlite://".to_owned();
    for byte in text.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'/' | b'.' | b'-' | b'_' => url.push(char::from(byte)),
            other => url.push_str(&format!("%{other:02X}")),
        }
    }
    url.push_str("?mode=rwc");
    Ok(url)
}
