//! The definitions of a SQLite file's tables, held against those our own upgrades make. SQLite's checks do not read
//! them, and a damaged one can mislead every query after it.

use crate::{StoreError, schema};
use sqlx::{AnyConnection, Connection, Row};
use std::collections::BTreeMap;

/// As signs of hexadecimal digits, since a damaged text is none.
const READ: &str = "SELECT hex(name) AS name, hex(sql) AS sql FROM sqlite_schema WHERE sql IS NOT NULL";
const MEND: &str = "UPDATE sqlite_schema SET sql = $1 WHERE name = $2";

/// Names the first definition that is not as our upgrades make it, of a file with this schema version.
pub(crate) async fn damaged_one(
    connection: &mut AnyConnection,
    version: i64,
) -> Result<Option<String>, StoreError> {
    let found = read(connection).await?;
    let wanted = made_anew(version).await?;
    Ok(wanted.into_iter().find(|(name, sql)| found.get(name) != Some(sql)).map(|(name, _)| name))
}

/// Writes the definitions of a damaged file anew; on the next connection they hold.
pub(crate) async fn mend(connection: &mut AnyConnection) -> Result<(), StoreError> {
    sqlx::query("PRAGMA writable_schema=ON").execute(&mut *connection).await?;
    let found = read(connection).await?;
    let version = schema::version_there(connection).await.unwrap_or(schema::NEWEST);
    if version > schema::NEWEST {
        return Err(schema::newer(connection, "the file".to_owned(), version).await);
    }
    for (name, sql) in made_anew(version).await? {
        if found.get(&name).is_some_and(|there| *there != sql) {
            sqlx::query(MEND).bind(sql).bind(name).execute(&mut *connection).await?;
        }
    }
    Ok(())
}

async fn read(connection: &mut AnyConnection) -> Result<BTreeMap<String, String>, StoreError> {
    let rows = sqlx::query(READ).fetch_all(connection).await?;
    rows.iter()
        .map(|row| {
            Ok((text_of(&row.try_get::<String, _>("name")?), text_of(&row.try_get::<String, _>("sql")?)))
        })
        .collect()
}

/// The definitions an empty store of a version has.
async fn made_anew(version: i64) -> Result<BTreeMap<String, String>, StoreError> {
    let mut memory = AnyConnection::connect("sqlite::memory:").await?;
    schema::make(&mut memory, version).await?;
    let definitions = read(&mut memory).await?;
    memory.close().await?;
    Ok(definitions)
}

/// The text of hexadecimal digits, with a sign of its own for what is none.
fn text_of(hex: &str) -> String {
    let digits: Vec<u8> =
        hex.bytes().filter_map(|sign| char::from(sign).to_digit(16)?.try_into().ok()).collect();
    let bytes: Vec<u8> =
        digits.chunks(2).map(|pair| pair.iter().fold(0, |byte, digit| byte << 4 | digit)).collect();
    String::from_utf8_lossy(&bytes).into_owned()
}

#[cfg(test)]
mod tests {
    use super::text_of;

    #[test]
    fn a_damaged_text_is_told_from_a_whole_one() {
        assert_eq!(text_of("544558C3BC"), "TEX\u{fc}");
        assert_eq!(text_of("5445FF54"), "TE\u{fffd}T");
    }
}
