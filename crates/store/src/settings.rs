//! The settings of every SQLite connection: what makes an acknowledged change survive a power cut, set, read back and
//! compared; and which SQLite may have the file at all.

use crate::StoreError;
use sqlx::{AnyConnection, Row};

/// A setting: how it is set, how it is read back, and what must be read.
type Setting = (&'static str, &'static str, &'static str);

/// What every connection that writes has. `fullfsync` acts on macOS alone.
const ALWAYS: [Setting; 7] = [
    ("PRAGMA fullfsync=ON", "PRAGMA fullfsync", "1"),
    ("PRAGMA foreign_keys=ON", "PRAGMA foreign_keys", "1"),
    ("PRAGMA busy_timeout=5000", "PRAGMA busy_timeout", "5000"),
    ("PRAGMA trusted_schema=OFF", "PRAGMA trusted_schema", "0"),
    ("PRAGMA cell_size_check=ON", "PRAGMA cell_size_check", "1"),
    ("PRAGMA mmap_size=0", "PRAGMA mmap_size", "0"),
    ("PRAGMA secure_delete=ON", "PRAGMA secure_delete", "1"),
];
/// A journal beside the file that several read and one writes.
const WITH_OTHERS: [Setting; 2] = [
    ("PRAGMA journal_mode=WAL", "PRAGMA journal_mode", "wal"),
    ("PRAGMA synchronous=FULL", "PRAGMA synchronous", "2"),
];
/// One connection that holds the file for itself, with a journal that needs no shared memory; the folder is synced when
/// the journal goes, too.
const ALONE: [Setting; 3] = [
    ("PRAGMA locking_mode=EXCLUSIVE", "PRAGMA locking_mode", "exclusive"),
    ("PRAGMA journal_mode=DELETE", "PRAGMA journal_mode", "delete"),
    ("PRAGMA synchronous=EXTRA", "PRAGMA synchronous", "3"),
];
/// What a connection has that only reads.
const TO_READ: [Setting; 4] = [
    ("PRAGMA busy_timeout=5000", "PRAGMA busy_timeout", "5000"),
    ("PRAGMA trusted_schema=OFF", "PRAGMA trusted_schema", "0"),
    ("PRAGMA cell_size_check=ON", "PRAGMA cell_size_check", "1"),
    ("PRAGMA mmap_size=0", "PRAGMA mmap_size", "0"),
];
/// The oldest SQLite that may have the file: from 3.7.0 to 3.51.2 a write that meets two checkpoints can damage a file
/// in write-ahead mode. Published: SQLite's documentation of write-ahead logging, the WAL-reset bug.
const OLDEST: [u32; 3] = [3, 51, 3];

/// Sets what a connection beside others must have, and reads it back.
pub(crate) async fn settle(connection: &mut AnyConnection) -> Result<(), sqlx::Error> {
    set(connection, &WITH_OTHERS).await?;
    set(connection, &ALWAYS).await
}

/// Sets what the only connection of a file must have, reads it back, and takes the file for itself.
pub(crate) async fn settle_alone(connection: &mut AnyConnection) -> Result<(), sqlx::Error> {
    set(connection, &ALONE).await?;
    set(connection, &ALWAYS).await?;
    sqlx::raw_sql("BEGIN EXCLUSIVE; COMMIT").execute(connection).await?;
    Ok(())
}

/// Sets what a connection must have that only reads, and reads it back.
pub(crate) async fn settle_reader(connection: &mut AnyConnection) -> Result<(), sqlx::Error> {
    set(connection, &TO_READ).await
}

async fn set(connection: &mut AnyConnection, settings: &[Setting]) -> Result<(), sqlx::Error> {
    for (set, read, wanted) in settings.iter().copied() {
        sqlx::query(set).execute(&mut *connection).await?;
        let value = answer(connection, read).await?;
        if value != wanted {
            return Err(sqlx::Error::Protocol(format!("{read} answers {value}, expected {wanted}")));
        }
    }
    Ok(())
}

/// Asks a pragma for its value.
async fn answer(connection: &mut AnyConnection, pragma: &'static str) -> Result<String, sqlx::Error> {
    let row = sqlx::query(pragma).fetch_one(connection).await?;
    Ok(match row.try_get::<String, _>(0) {
        Ok(text) => text,
        Err(_) => row.try_get::<i64, _>(0)?.to_string(),
    })
}

/// Refuses a SQLite that can damage the file.
pub(crate) async fn refuse_old_sqlite(connection: &mut AnyConnection) -> Result<(), StoreError> {
    let version = answer(connection, "SELECT sqlite_version()").await?;
    if is_sound(&version) {
        return Ok(());
    }
    let [major, minor, patch] = OLDEST;
    Err(StoreError::OldSqlite { found: version, least: format!("{major}.{minor}.{patch}") })
}

fn is_sound(version: &str) -> bool {
    let mut parts = version.split('.').map(|part| part.parse::<u32>().unwrap_or_default());
    let version = [(); 3].map(|()| parts.next().unwrap_or_default());
    version >= OLDEST
}

#[cfg(test)]
mod tests {
    use super::{ALONE, ALWAYS, Setting, TO_READ, WITH_OTHERS, answer, is_sound};
    use crate::connect::{Manner, READERS, Writer, reader};
    use crate::{Address, Store};
    use sqlx::AnyConnection;

    async fn assert_set(connection: &mut AnyConnection, settings: &[Setting]) {
        for (_, read, wanted) in settings {
            assert_eq!(answer(connection, read).await.unwrap(), *wanted, "{read}");
        }
    }

    #[tokio::test]
    async fn every_connection_has_its_settings() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("studio.db");
        let address = Address::File(path.clone());
        let store = Store::open(&address).await.unwrap();
        let usual = [WITH_OTHERS.as_slice(), ALWAYS.as_slice()].concat();
        let mut all = Vec::new();
        for _ in 0..READERS {
            all.push(store.inner.readers.acquire().await.unwrap());
        }
        for connection in &mut all {
            assert_set(connection, &usual).await;
        }
        drop(all);
        let Writer::Alone(writer) = &store.inner.writer else { panic!("a file has one writer") };
        assert_set(writer.lock().await.as_mut().unwrap(), &usual).await;
        store.close().await;
        drop(store);
        let url = crate::connect::read_only_url(&path).unwrap();
        assert_set(&mut reader(&url).await.unwrap(), &TO_READ).await;
        for (manner, settings) in [
            (Manner::OnlyRead, TO_READ.to_vec()),
            (Manner::OnNetworkDrive, [ALONE.as_slice(), ALWAYS.as_slice()].concat()),
        ] {
            let store = Store::open_as(&address, manner).await.unwrap();
            assert_set(&mut store.inner.readers.acquire().await.unwrap(), &settings).await;
            store.close().await;
        }
    }

    #[test]
    fn an_old_sqlite_is_known() {
        assert!(is_sound("3.51.3") && is_sound("3.52.0") && is_sound("4.0.0"));
        for old in ["3.51.2", "3.50.9", "3.7.0", "2.99.99", "", "new"] {
            assert!(!is_sound(old), "{old}");
        }
    }
}
