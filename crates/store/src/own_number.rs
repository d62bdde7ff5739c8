//! The number a SQLite file has of its own, drawn by chance, by which a journal beside it is known to be its own.
//!
//! SQLite takes any whole journal beside a file for the file's, and writes what stands in it over the file: another
//! studio's, or an older copy's newer self. So each studio and each copy has a number, and every act lays it into the journal.

use crate::StoreError;
use crate::file::beside;
use crate::whole::{APPLICATION_ID, damaged, damaged_by};
use sqlx::{AnyConnection, Row};
use std::fs::File;
use std::io::{Read, Seek, SeekFrom, Write};
use std::path::Path;

/// Where a SQLite file has its user version, a number its program may use: a file's own here. Standard: SQLite database file
/// format, section 1.3, offset 60, four bytes, the highest first.
const AT: u64 = 60;

/// Draws a number by chance; never 0, which is a file without one.
pub(crate) async fn draw(connection: &mut AnyConnection) -> Result<i32, sqlx::Error> {
    const DRAW: &str = "SELECT CAST(ABS(RANDOM() % 2147483646) + 1 AS INTEGER)";
    let number: i64 = sqlx::query(DRAW).fetch_one(connection).await?.try_get(0)?;
    i32::try_from(number).map_err(|error| sqlx::Error::Decode(error.into()))
}

/// Gives a studio that has none a number.
pub(crate) async fn give(connection: &mut AnyConnection) -> Result<(), sqlx::Error> {
    if read(connection).await? == 0 {
        let number = draw(connection).await?;
        set(connection, number.into()).await?;
    }
    Ok(())
}

/// Gives a file that nobody has open another number, safely on disk: what is copied is another file from then on.
pub(crate) fn give_another(path: &Path, number: i32) -> std::io::Result<()> {
    let mut file = File::options().write(true).open(path)?;
    file.seek(SeekFrom::Start(AT))?;
    file.write_all(&number.to_be_bytes())?;
    file.sync_all()
}

/// Sets the number once more as it is, within an act: the page it stands on goes into the journal with the others, however
/// little else the act changes.
pub(crate) async fn lay_into_the_journal(connection: &mut AnyConnection) -> Result<(), sqlx::Error> {
    let number = read(connection).await?;
    set(connection, number).await
}

async fn read(connection: &mut AnyConnection) -> Result<i64, sqlx::Error> {
    sqlx::query("PRAGMA user_version").fetch_one(connection).await?.try_get(0)
}

async fn set(connection: &mut AnyConnection, number: i64) -> Result<(), sqlx::Error> {
    let sql = sqlx::AssertSqlSafe(format!("PRAGMA user_version={number}"));
    sqlx::raw_sql(sql).execute(connection).await.map(drop)
}

/// Whether the journal beside a file is its own; `in_the_file` is the number that the file itself has.
pub(crate) async fn check_journal(
    connection: &mut AnyConnection,
    path: &Path,
    in_the_file: i64,
) -> Result<(), StoreError> {
    let with_the_journal = read(connection).await.map_err(|error| damaged_by(path, error))?;
    // one made by an older version, or whose first entries are all in the journal, has none yet
    if in_the_file == 0 || in_the_file == with_the_journal {
        return Ok(());
    }
    let journal = beside(path, "-wal");
    Err(damaged(
        path,
        &format!(
            "the journal {} is another file's: of another studio, or of this one before an older copy was laid here; \
             move it to another folder",
            journal.display()
        ),
    ))
}

/// The number in the file itself; 0 in a file that is not marked as ours, whose mark stands eight bytes further on.
///
/// Asked before SQLite opens the file: a file that is closed loses every lock this process has on it, SQLite's too.
pub(crate) fn in_the_file(path: &Path) -> Result<i64, StoreError> {
    let read = || {
        let mut bytes = [0; 12];
        let mut file = File::open(path)?;
        file.seek(SeekFrom::Start(AT))?;
        file.read_exact(&mut bytes).map(|()| bytes)
    };
    let [a, b, c, d, _, _, _, _, mark @ ..] = read().map_err(|error| damaged(path, &error))?;
    let is_ours = i64::from(i32::from_be_bytes(mark)) == APPLICATION_ID;
    Ok(if is_ours { i64::from(i32::from_be_bytes([a, b, c, d])) } else { 0 })
}
