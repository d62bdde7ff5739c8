//! Opening a studio and its connections.
//!
//! A SQLite file has one writing connection and a few reading ones, each with the settings that make an acknowledged
//! change survive a power cut, read back and compared. The first connection opens alone, as it may have to recover.

use crate::file::{Found, look_at, real_path};
use crate::rotation::Why;
use crate::{Address, StoreError, schema};
use sqlx::any::{AnyConnectOptions, AnyPoolOptions};
use sqlx::{AnyConnection, AnyPool, Connection, Row};
use std::path::PathBuf;
use std::str::FromStr;
use std::sync::{Arc, OnceLock};
use std::time::Duration;
use tokio::sync::{Mutex, watch};

/// Marks a SQLite file as ours: `LWst` in ASCII. Definition.
const APPLICATION_ID: i64 = 0x4C57_7374;
/// Settings of every SQLite connection: what is set, and what must be read back.
const PRAGMAS: [(&str, &str, &str); 8] = [
    ("PRAGMA journal_mode=WAL", "PRAGMA journal_mode", "wal"),
    ("PRAGMA synchronous=FULL", "PRAGMA synchronous", "2"),
    ("PRAGMA foreign_keys=ON", "PRAGMA foreign_keys", "1"),
    ("PRAGMA busy_timeout=5000", "PRAGMA busy_timeout", "5000"),
    ("PRAGMA trusted_schema=OFF", "PRAGMA trusted_schema", "0"),
    ("PRAGMA cell_size_check=ON", "PRAGMA cell_size_check", "1"),
    ("PRAGMA mmap_size=0", "PRAGMA mmap_size", "0"),
    ("PRAGMA secure_delete=ON", "PRAGMA secure_delete", "1"),
];
/// Files up to this size are checked page by page before they are opened; larger ones straight after, so that a large
/// studio opens at once. House choice: about a tenth of a second.
const CHECKED_AT_ONCE: u64 = 48 * 1024 * 1024;
/// Readers of a SQLite file. House choice.
const READERS: u32 = 4;
/// Connections to a PostgreSQL server. House choice.
const SERVER_CONNECTIONS: u32 = 8;

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
    /// What was found damaged; nothing is written then.
    pub(crate) broken: OnceLock<String>,
}

/// Who writes.
pub(crate) enum Writer {
    /// The one writing connection of a SQLite file.
    Alone(Mutex<AnyConnection>),
    /// Any connection of the pool; an advisory lock puts writes in order.
    Pool,
}

impl std::fmt::Debug for Store {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Store({})", self.inner.address)
    }
}

use std::fmt;

impl Store {
    /// Opens a studio; a file that is not there is made.
    ///
    /// # Errors
    /// [`StoreError`] that names what was found; a file that is damaged, newer or not ours is left as it is.
    pub async fn open(address: &Address) -> Result<Self, StoreError> {
        sqlx::any::install_default_drivers();
        let store = match address {
            Address::File(path) => Self::open_file(path.clone()).await?,
            Address::Server(url) => Self::open_server(url, address).await?,
        };
        store.note_newest().await?;
        Ok(store)
    }

    /// Opens a studio that is there already; none is made.
    ///
    /// # Errors
    /// As [`Store::open`], and [`StoreError::CannotUse`] when there is no studio.
    pub async fn open_there(address: &Address) -> Result<Self, StoreError> {
        if let Address::File(path) = address
            && look_at(path)? == Found::Nothing
        {
            return Err(StoreError::CannotUse { path: path.clone(), why: "there is no studio".to_owned() });
        }
        Self::open(address).await
    }

    async fn open_file(path: PathBuf) -> Result<Self, StoreError> {
        let path = real_path(&path)?;
        let found = look_at(&path)?;
        let options = AnyConnectOptions::from_str(&file_url(&path)?)?;
        let mut first =
            AnyConnection::connect_with(&options).await.map_err(|error| damaged(&path, &error))?;
        let is_large = std::fs::metadata(&path).is_ok_and(|metadata| metadata.len() > CHECKED_AT_ONCE);
        if found == Found::Database {
            check_mark(&mut first, &path).await?;
            if !is_large {
                check_whole(&mut first, &path).await?;
            }
        }
        settle(&mut first).await.map_err(|error| damaged(&path, &error))?;
        let version = schema::version(&mut first).await?;
        if version > schema::NEWEST {
            return Err(StoreError::Newer {
                place: path.display().to_string(),
                found: version,
                known: schema::NEWEST,
            });
        }
        if version < schema::NEWEST {
            if version > 0 {
                let now = jiff::Timestamp::from_second(seconds_of(&path)).unwrap_or_default();
                let now = now.to_zoned_datetime(jiff::tz::TimeZone::UTC).datetime();
                crate::backup::copy_of(&mut first, &path, Why::Upgrade, now).await?;
            }
            let mut upgrade = first.begin_with("BEGIN IMMEDIATE").await?;
            schema::upgrade(&mut upgrade, version).await?;
            upgrade.commit().await?;
            sqlx::query(APPLICATION).execute(&mut first).await?;
        }
        make_private(&path)?;
        let readers = AnyPoolOptions::new()
            .max_connections(READERS)
            .acquire_timeout(Duration::from_secs(10))
            .after_connect(|connection, _| {
                Box::pin(async move {
                    settle(connection).await.map_err(|error| sqlx::Error::Protocol(error.to_string()))
                })
            })
            .connect_with(options)
            .await?;
        let store = Self::of(Address::File(path.clone()), readers, Writer::Alone(Mutex::new(first)));
        if is_large {
            store.check_later(path);
        }
        Ok(store)
    }

    /// Checks a large file while it is in use already; what is found stops all writing.
    fn check_later(&self, path: PathBuf) {
        let store = self.clone();
        tokio::spawn(async move {
            let checked = match store.inner.readers.acquire().await {
                Ok(mut connection) => check_whole(&mut connection, &path).await,
                Err(error) => Err(error.into()),
            };
            if let Err(error @ StoreError::Damaged { .. }) = checked {
                tracing::error!(%error, "the studio is damaged: nothing more is written");
                // the first finding stays
                drop(store.inner.broken.set(error.to_string()));
            }
        });
    }

    /// Refuses to write into a studio that was found damaged.
    pub(crate) fn refuse_when_broken(&self) -> Result<(), StoreError> {
        match (self.inner.broken.get(), &self.inner.address) {
            (Some(why), Address::File(path)) => {
                Err(StoreError::Damaged { path: path.clone(), why: why.clone() })
            }
            _ => Ok(()),
        }
    }

    async fn open_server(url: &str, address: &Address) -> Result<Self, StoreError> {
        let options = AnyConnectOptions::from_str(url)?;
        let pool = AnyPoolOptions::new()
            .max_connections(SERVER_CONNECTIONS)
            .acquire_timeout(Duration::from_secs(10))
            .after_connect(|connection, _| {
                Box::pin(async move {
                    sqlx::query("SET synchronous_commit = on").execute(&mut *connection).await?;
                    Ok(())
                })
            })
            .connect_with(options)
            .await?;
        let mut connection = pool.acquire().await?;
        for setting in ["fsync", "full_page_writes"] {
            let sql = "SELECT current_setting($1) AS value";
            let value: String =
                sqlx::query(sql).bind(setting).fetch_one(&mut *connection).await?.try_get("value")?;
            if value == "off" {
                return Err(StoreError::UnsafeServer(format!("{setting} off")));
            }
        }
        let mut upgrade = connection.begin().await?;
        sqlx::query(ONE_WRITER).execute(&mut *upgrade).await?;
        let version = schema::version(&mut upgrade).await?;
        if version > schema::NEWEST {
            return Err(StoreError::Newer {
                place: address.to_string(),
                found: version,
                known: schema::NEWEST,
            });
        }
        schema::upgrade(&mut upgrade, version).await?;
        upgrade.commit().await?;
        drop(connection);
        Ok(Self::of(address.clone(), pool, Writer::Pool))
    }

    fn of(address: Address, readers: AnyPool, writer: Writer) -> Self {
        let (newest, _) = watch::channel(0);
        Self { inner: Arc::new(Inner { address, readers, writer, newest, broken: OnceLock::new() }) }
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

    /// Closes every connection; what was acknowledged is on disk.
    pub async fn close(&self) {
        self.inner.readers.close().await;
    }
}

/// Puts writes in order on a PostgreSQL server, so that the sequence of changes is that of their commits.
pub(crate) const ONE_WRITER: &str = "SELECT CAST(pg_advisory_xact_lock(1280799604) AS TEXT)";
/// `PRAGMA application_id`, see [`APPLICATION_ID`].
const APPLICATION: &str = "PRAGMA application_id=1280799604";

/// Sets what every SQLite connection must have, and reads it back.
async fn settle(connection: &mut AnyConnection) -> Result<(), StoreError> {
    for (set, read, wanted) in PRAGMAS {
        sqlx::query(set).execute(&mut *connection).await?;
        let row = sqlx::query(read).fetch_one(&mut *connection).await?;
        let value = match row.try_get::<String, _>(0) {
            Ok(text) => text,
            Err(_) => row.try_get::<i64, _>(0)?.to_string(),
        };
        if value != wanted {
            return Err(StoreError::Failed(format!("{read} answers {value}, expected {wanted}")));
        }
    }
    Ok(())
}

/// A file with our mark, or one another program made.
async fn check_mark(connection: &mut AnyConnection, path: &std::path::Path) -> Result<(), StoreError> {
    let damage = |error: sqlx::Error| damaged(path, &error);
    let mark: i64 = sqlx::query("PRAGMA application_id")
        .fetch_one(&mut *connection)
        .await
        .map_err(damage)?
        .try_get(0)
        .map_err(damage)?;
    if mark != APPLICATION_ID {
        return Err(StoreError::NotOurs(path.to_owned()));
    }
    Ok(())
}

/// Whether every page of the file is whole, and what hangs on what is there.
async fn check_whole(connection: &mut AnyConnection, path: &std::path::Path) -> Result<(), StoreError> {
    let damage = |error: sqlx::Error| damaged(path, &error);
    let found: String = sqlx::query("PRAGMA quick_check(1)")
        .fetch_one(&mut *connection)
        .await
        .map_err(damage)?
        .try_get(0)
        .map_err(damage)?;
    if found != "ok" {
        return Err(StoreError::Damaged { path: path.to_owned(), why: found });
    }
    let orphans =
        sqlx::query("PRAGMA foreign_key_check").fetch_all(&mut *connection).await.map_err(damage)?;
    if !orphans.is_empty() {
        let why = format!("{} records hang on records that are not there", orphans.len());
        return Err(StoreError::Damaged { path: path.to_owned(), why });
    }
    Ok(())
}

fn damaged(path: &std::path::Path, error: &dyn fmt::Display) -> StoreError {
    StoreError::Damaged { path: path.to_owned(), why: error.to_string() }
}

/// When a file was last written, seconds since 1970: the copy before an upgrade is named by what it holds.
fn seconds_of(path: &std::path::Path) -> i64 {
    let written = std::fs::metadata(path).and_then(|metadata| metadata.modified()).ok();
    let since = written.and_then(|written| written.duration_since(std::time::UNIX_EPOCH).ok());
    since.and_then(|since| i64::try_from(since.as_secs()).ok()).unwrap_or_default()
}

/// The URL of a file, with every sign a URL would take for its own written by its number.
pub(crate) fn file_url(path: &std::path::Path) -> Result<String, StoreError> {
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

/// The studio's file is for its owner alone.
#[cfg(unix)]
fn make_private(path: &std::path::Path) -> Result<(), StoreError> {
    use std::os::unix::fs::PermissionsExt;
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o600))
        .map_err(|error| StoreError::CannotUse { path: path.to_owned(), why: error.to_string() })
}

#[cfg(not(unix))]
fn make_private(_: &std::path::Path) -> Result<(), StoreError> {
    Ok(())
}
