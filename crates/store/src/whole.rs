//! Whether a SQLite file is ours and whole.

use crate::{StoreError, definitions, schema};
use sqlx::{AnyConnection, Row};
use std::fmt;
use std::path::Path;

/// Marks a SQLite file as ours: `LWst` in ASCII. Definition.
pub(crate) const APPLICATION_ID: i64 = 0x4C57_7374;
/// Writes the mark, see [`APPLICATION_ID`].
pub(crate) const WRITE_MARK: &str = "PRAGMA application_id=1280799604";

/// A file in which nothing was written yet: one whose making was cut off, or an empty database of anybody's.
pub(crate) async fn is_blank(connection: &mut AnyConnection, path: &Path) -> Result<bool, StoreError> {
    const TABLES: &str = "SELECT CAST(COUNT(*) AS BIGINT) FROM sqlite_schema WHERE name <> 'studio_schema'";
    let damage = |error: sqlx::Error| damaged_by(path, error);
    let tables: i64 =
        sqlx::query(TABLES).fetch_one(&mut *connection).await.map_err(damage)?.try_get(0).map_err(damage)?;
    // the table of versions may be there already, with none in it
    Ok(tables == 0 && schema::version_there(connection).await.unwrap_or(0) == 0)
}

/// A file with our mark, or one another program made.
pub(crate) async fn check_mark(connection: &mut AnyConnection, path: &Path) -> Result<(), StoreError> {
    let damage = |error: sqlx::Error| damaged_by(path, error);
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

/// Whether the tables are defined as our upgrades define them; a newer version's are for it to judge.
pub(crate) async fn check_definitions(connection: &mut AnyConnection, path: &Path) -> Result<(), StoreError> {
    let damage = |error: StoreError| match error {
        busy @ StoreError::Busy(_) => busy,
        error => damaged(path, &error),
    };
    let version = match schema::version_there(connection).await {
        Ok(version) if version <= schema::NEWEST => version,
        Ok(_) => return Ok(()),
        Err(error) => return Err(damage(error)),
    };
    match definitions::damaged_one(connection, version).await.map_err(damage)? {
        Some(name) => Err(damaged(path, &format!("the definition of {name} is not as it was made"))),
        None => Ok(()),
    }
}

/// Whether every page of the file is whole, and what hangs on what is there.
pub(crate) async fn check_whole(connection: &mut AnyConnection, path: &Path) -> Result<(), StoreError> {
    let faults =
        faults(connection, "PRAGMA quick_check(1)").await.map_err(|error| damaged_by(path, error))?;
    match faults.into_iter().next() {
        Some(fault) => Err(damaged(path, &fault)),
        None => Ok(()),
    }
}

/// Everything wrong with the file, page by page and record by record.
pub(crate) async fn every_fault(connection: &mut AnyConnection) -> Result<Vec<String>, sqlx::Error> {
    faults(connection, "PRAGMA integrity_check(20)").await
}

async fn faults(connection: &mut AnyConnection, check: &'static str) -> Result<Vec<String>, sqlx::Error> {
    let mut faults = Vec::new();
    for row in sqlx::query(check).fetch_all(&mut *connection).await? {
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

/// A file that cannot be read: damaged, unless another only holds it for the moment.
pub(crate) fn damaged_by(path: &Path, error: sqlx::Error) -> StoreError {
    let why = error.to_string();
    match StoreError::from(error) {
        busy @ StoreError::Busy(_) => busy,
        _ => damaged(path, &why),
    }
}

/// A file that is damaged, with the newest copy of it that verified.
pub(crate) fn damaged(path: &Path, why: &dyn fmt::Display) -> StoreError {
    StoreError::Damaged {
        path: path.to_owned(),
        why: why.to_string(),
        copy: crate::backup::newest_copy(path),
    }
}
