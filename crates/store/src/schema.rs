//! The schema and its upgrades: numbered, each in one transaction with its number.

use crate::StoreError;
use sqlx::{AnyConnection, Row};

/// The upgrades, the first makes an empty store.
const UPGRADES: &[&str] = &[include_str!("../migrations/0001_records.sql")];

/// The newest schema this version knows.
#[expect(clippy::cast_possible_wrap, reason = "a handful of upgrades")]
pub(crate) const NEWEST: i64 = UPGRADES.len() as i64;

const MAKE_VERSION: &str = "CREATE TABLE IF NOT EXISTS studio_schema (version BIGINT NOT NULL)";
const READ_VERSION: &str = "SELECT CAST(COALESCE(MAX(version), 0) AS BIGINT) AS version FROM studio_schema";
const WRITE_VERSION: &str = "INSERT INTO studio_schema (version) VALUES ($1)";

/// Reads the version of a store's schema; 0 when it is empty.
pub(crate) async fn version(connection: &mut AnyConnection) -> Result<i64, StoreError> {
    sqlx::query(MAKE_VERSION).execute(&mut *connection).await?;
    Ok(sqlx::query(READ_VERSION).fetch_one(&mut *connection).await?.try_get("version")?)
}

/// Carries out every upgrade that is missing, inside the transaction the caller has opened.
pub(crate) async fn upgrade(connection: &mut AnyConnection, from: i64) -> Result<(), StoreError> {
    for (place, sql) in UPGRADES.iter().enumerate() {
        let version = i64::try_from(place).unwrap_or(i64::MAX).saturating_add(1);
        if version > from {
            sqlx::raw_sql(*sql).execute(&mut *connection).await?;
            sqlx::query(WRITE_VERSION).bind(version).execute(&mut *connection).await?;
        }
    }
    Ok(())
}
