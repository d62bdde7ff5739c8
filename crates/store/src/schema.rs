//! The schema and its upgrades: numbered, each in one transaction with its number.

use crate::StoreError;
use sqlx::{AnyConnection, Row};

/// The upgrades, the first makes an empty store.
const UPGRADES: &[&str] = &[
    include_str!("../migrations/0001_records.sql"),
    include_str!("../migrations/0002_visits.sql"),
    include_str!("../migrations/0003_trials.sql"),
    include_str!("../migrations/0004_responses.sql"),
    include_str!("../migrations/0005_quotes.sql"),
    include_str!("../migrations/0006_shelf.sql"),
    include_str!("../migrations/0007_found_at_once.sql"),
];

/// The newest schema this version knows.
#[expect(clippy::cast_possible_wrap, reason = "a handful of upgrades")]
pub(crate) const NEWEST: i64 = UPGRADES.len() as i64;

const MAKE_VERSION: &str = "CREATE TABLE IF NOT EXISTS studio_schema (version BIGINT NOT NULL)";
const READ_VERSION: &str = "SELECT CAST(COALESCE(MAX(version), 0) AS BIGINT) AS version FROM studio_schema";
const WRITE_VERSION: &str = "INSERT INTO studio_schema (version) VALUES ($1)";
/// The second upgrade adds who wrote a version; from then on it is written down.
const WRITE_PROGRAM: &str = "UPDATE studio_schema SET program = $1 WHERE version = $2";
const READ_PROGRAM: &str = "SELECT program FROM studio_schema WHERE version = $1";

/// Reads the version of a store's schema; 0 when it is empty.
pub(crate) async fn version(connection: &mut AnyConnection) -> Result<i64, StoreError> {
    sqlx::query(MAKE_VERSION).execute(&mut *connection).await?;
    version_there(connection).await
}

/// Reads the version of a store that must be there already; nothing is written.
pub(crate) async fn version_there(connection: &mut AnyConnection) -> Result<i64, StoreError> {
    Ok(sqlx::query(READ_VERSION).fetch_one(&mut *connection).await?.try_get("version")?)
}

/// Carries out every upgrade that is missing, inside the transaction the caller has opened.
pub(crate) async fn upgrade(connection: &mut AnyConnection, from: i64) -> Result<(), StoreError> {
    if from >= NEWEST {
        return Ok(());
    }
    for (place, sql) in UPGRADES.iter().enumerate() {
        let version = i64::try_from(place).unwrap_or(i64::MAX).saturating_add(1);
        if version > from {
            sqlx::raw_sql(*sql).execute(&mut *connection).await?;
            sqlx::query(WRITE_VERSION).bind(version).execute(&mut *connection).await?;
        }
    }
    let program = env!("CARGO_PKG_VERSION");
    sqlx::query(WRITE_PROGRAM).bind(program).bind(NEWEST).execute(&mut *connection).await?;
    Ok(())
}

/// Writes down that a studio was made or upgraded.
pub(crate) fn note_upgrade(from: i64) {
    match from {
        NEWEST.. => {}
        0 => tracing::info!(to = NEWEST, "a studio was made"),
        _ => tracing::info!(from, to = NEWEST, "a studio was upgraded"),
    }
}

/// Makes an empty store of a version.
pub(crate) async fn make(connection: &mut AnyConnection, version: i64) -> Result<(), StoreError> {
    sqlx::query(MAKE_VERSION).execute(&mut *connection).await?;
    for sql in UPGRADES.iter().take(usize::try_from(version).unwrap_or_default()) {
        sqlx::raw_sql(*sql).execute(&mut *connection).await?;
    }
    Ok(())
}

/// Says that a store is newer than this program, and which one wrote it.
pub(crate) async fn newer(connection: &mut AnyConnection, place: String, found: i64) -> StoreError {
    let row = sqlx::query(READ_PROGRAM).bind(found).fetch_optional(connection).await;
    let by = row.ok().flatten().and_then(|row| row.try_get("program").ok());
    StoreError::Newer { place, by, found, known: NEWEST }
}
