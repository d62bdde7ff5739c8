//! What can still be read of a damaged file, in a new one. Every record is looked for twice: in its table, and in the
//! history, which holds it whole with each change.

use crate::backup::newest_copy;
use crate::columns::{Value, bound};
use crate::connect::Writer;
use crate::file::{Found, beside, look_at, real_path};
use crate::kinds::{record_of, table_of, values_of};
use crate::private::{copy_bytes, make_private_folder};
use crate::{Address, ServerLock, Store, StoreError};
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, AssertSqlSafe, Connection, Row};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::path::{Path, PathBuf};
use studio::{Id, Kept, Record, RecordKind};

/// What came out of a damaged file.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Salvaged {
    /// How many golfers, readings and jobs came out.
    pub counts: [i64; 3],
    /// How many records were damaged and came out of the history.
    pub from_history: usize,
    /// What could not be read.
    pub lost: Vec<String>,
}

const ENTRIES: &str = "SELECT id, seq, golfer_id, by_whom, sentence, at_ms, digest, undoes, undone_by FROM change_set WHERE \
                       rowid BETWEEN $1 AND $2";
const WRITE_ENTRY: &str = "INSERT INTO change_set (id, seq, golfer_id, by_whom, sentence, at_ms, digest, undoes, undone_by) \
                           VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)";
const CHANGES: &str = "SELECT set_id, place, record_kind, record_id, revision, before, after FROM change WHERE rowid BETWEEN \
                       $1 AND $2";
const WRITE_CHANGE: &str = "INSERT INTO change (set_id, place, record_kind, record_id, revision, before, after) VALUES ($1, $2, \
                            $3, $4, $5, $6, $7)";
const LAST_STATES: &str = "SELECT c.after AS after, c.revision AS revision, c.place AS place, s.seq AS seq FROM change c JOIN \
                           change_set s ON s.id = c.set_id WHERE c.record_kind = $1 ORDER BY c.revision";

/// Reads what can be read of a damaged studio into a new file. The damaged one is not touched: a copy of it is read.
///
/// # Errors
/// [`StoreError::CannotUse`] when the new file is there already; [`StoreError::NotOurs`] when nothing of a studio is found.
pub async fn salvage(address: &Address, to: &Path) -> Result<Salvaged, StoreError> {
    let Address::File(path) = address else {
        return Err(StoreError::CannotUse {
            path: to.to_owned(),
            why: "only a file can be salvaged".to_owned(),
        });
    };
    let path = real_path(path)?;
    if look_at(&path)? == Found::Nothing {
        return Err(StoreError::CannotUse { path, why: "there is no studio".to_owned() });
    }
    if to.exists() {
        return Err(StoreError::CannotUse {
            path: to.to_owned(),
            why: "there is a file of that name already".to_owned(),
        });
    }
    let lock = ServerLock::take(&Address::File(path.clone()))?;
    sqlx::any::install_default_drivers();
    let copy = WorkingCopy::of(&path, &real_path(to)?)?;
    let mut salvage = Salvage::open(&copy.file, &path).await?;
    let store = Store::open(&Address::File(to.to_owned())).await?;
    let salvaged = salvage.fill(&store).await;
    store.close().await;
    drop(lock);
    let salvaged = salvaged?;
    match salvaged.counts {
        [0, 0, 0] => {
            drop(std::fs::remove_file(to));
            Err(StoreError::Damaged { path, why: "no record of it can be read".to_owned(), copy: None })
        }
        _ => Ok(salvaged),
    }
}

/// A copy of a damaged file with its journal, gone when it is dropped.
struct WorkingCopy {
    folder: PathBuf,
    file: PathBuf,
}

impl WorkingCopy {
    fn of(path: &Path, to: &Path) -> Result<Self, StoreError> {
        let folder = to.with_extension("salvage.partial");
        let file = folder.join("damaged.db");
        let copy = Self { folder, file };
        copy.fill(path)
            .map_err(|error| StoreError::CannotUse { path: copy.folder.clone(), why: error.to_string() })?;
        Ok(copy)
    }

    fn fill(&self, path: &Path) -> std::io::Result<()> {
        make_private_folder(&self.folder)?;
        copy_bytes(path, &self.file)?;
        let journal = beside(path, "-wal");
        if journal.exists() {
            copy_bytes(&journal, &beside(&self.file, "-wal"))?;
        }
        Ok(())
    }
}

impl Drop for WorkingCopy {
    fn drop(&mut self) {
        drop(std::fs::remove_dir_all(&self.folder));
    }
}

/// A table of the damaged file, read row by row where it must be.
struct Salvage {
    from: AnyConnection,
    /// No row lies beyond: each has an id of 36 signs and more than that again.
    most_rows: i64,
    salvaged: Salvaged,
}

impl Salvage {
    async fn open(file: &Path, path: &Path) -> Result<Self, StoreError> {
        let bytes = std::fs::metadata(file).map_or(0, |metadata| metadata.len());
        let url = crate::connect::file_url(file)?;
        let mut mended = AnyConnection::connect(&url).await?;
        let is_mended = crate::definitions::mend(&mut mended).await;
        mended.close().await?;
        if let Err(error @ StoreError::Newer { .. }) = is_mended {
            return Err(error);
        }
        is_mended.map_err(|error| StoreError::Damaged {
            path: path.to_owned(),
            why: format!("its list of tables cannot be read: {error}"),
            copy: newest_copy(path),
        })?;
        let mut from = AnyConnection::connect(&url).await?;
        for setting in ["PRAGMA trusted_schema=OFF", "PRAGMA cell_size_check=ON", "PRAGMA mmap_size=0"] {
            // a file too damaged for a setting shows it when it is read
            drop(sqlx::query(setting).execute(&mut from).await);
        }
        Ok(Self {
            from,
            most_rows: i64::try_from(bytes / 64).unwrap_or(i64::MAX),
            salvaged: Salvaged::default(),
        })
    }

    async fn fill(&mut self, store: &Store) -> Result<Salvaged, StoreError> {
        let Writer::Alone(writer) = &store.inner.writer else { return Ok(Salvaged::default()) };
        let mut writer = writer.lock().await;
        let Some(writer) = writer.as_mut() else { return Ok(Salvaged::default()) };
        let mut to = writer.begin_with("BEGIN IMMEDIATE").await?;
        for row in self.rows("history", "change_set", ENTRIES).await {
            match entry(&row) {
                Ok(values) => self.put(&mut to, WRITE_ENTRY, values, "an entry of the history").await?,
                Err(error) => self.lose(format!("an entry of the history: {error}")),
            }
        }
        for row in self.rows("changes", "change", CHANGES).await {
            match change(&row) {
                Ok(values) => self.put(&mut to, WRITE_CHANGE, values, "a change in the history").await?,
                Err(error) => self.lose(format!("a change in the history: {error}")),
            }
        }
        for kind in RecordKind::ALL {
            self.records(&mut to, *kind).await?;
        }
        self.salvaged.counts = crate::backup::counts(&mut to).await?;
        to.commit().await?;
        Ok(std::mem::take(&mut self.salvaged))
    }

    /// The records of one kind: from their table, and those that are damaged there from the history.
    async fn records(&mut self, to: &mut AnyConnection, kind: RecordKind) -> Result<(), StoreError> {
        let table = table_of(kind);
        let mut found: BTreeMap<Id, Vec<Value>> = BTreeMap::new();
        for row in self.rows(kind.word(), table.name, &table.by_place_in_file).await {
            // one that is damaged may be whole in the history
            if let Ok((id, values)) = whole(kind, &row) {
                found.insert(id, values);
            }
        }
        for (id, values) in last_states(to, kind).await? {
            if let Entry::Vacant(place) = found.entry(id) {
                place.insert(values);
                self.salvaged.from_history += 1;
            }
        }
        for values in found.into_values() {
            self.put(to, &table.upsert, values, kind.word()).await?;
        }
        Ok(())
    }

    /// The last row of a table: by its end, else by its index, else no further than the file can hold.
    async fn last_row(&mut self, table: &str) -> Option<i64> {
        for max in ["MAX(rowid)", "MAX(+rowid)"] {
            let sql = format!("SELECT {max} FROM {table}");
            // the name of a table of ours
            match sqlx::query(AssertSqlSafe(sql)).fetch_one(&mut self.from).await {
                Ok(row) => return row.try_get(0).unwrap_or_default(),
                Err(error) if error.to_string().contains("no such table") => {
                    // older schemas had no visits, trials or shelf; without any other table something is lost
                    if !["visit", "trial", "strike", "part", "stock"].contains(&table) {
                        self.lose(format!("the whole table {table}"));
                    }
                    return None;
                }
                Err(_) => {}
            }
        }
        Some(self.most_rows)
    }

    /// Every row that can be read; those that cannot are named by their places.
    async fn rows(&mut self, what: &str, table: &str, sql: &'static str) -> Vec<AnyRow> {
        let Some(last) = self.last_row(table).await else { return Vec::new() };
        let (mut rows, mut bad) = (Vec::new(), Vec::new());
        // ranges still to be read, the next one last
        let mut ranges = vec![(1, last)];
        while let Some((from, to)) = ranges.pop() {
            match sqlx::query(sql).bind(from).bind(to).fetch_all(&mut self.from).await {
                Ok(found) => rows.extend(found),
                Err(_) if from == to => bad.push(from),
                Err(_) => {
                    let middle = from + (to - from) / 2;
                    ranges.push((middle + 1, to));
                    ranges.push((from, middle));
                }
            }
        }
        for (from, to) in runs(&bad) {
            let places = if from == to { format!("place {from}") } else { format!("places {from} to {to}") };
            self.lose(format!("{what}: {places} of its table"));
        }
        rows
    }

    async fn put(
        &mut self,
        to: &mut AnyConnection,
        sql: &'static str,
        values: Vec<Value>,
        what: &str,
    ) -> Result<(), StoreError> {
        match bound(sql, values).execute(to).await.map_err(StoreError::from) {
            Ok(_) => {}
            Err(StoreError::Refused(_)) => self.lose(format!("{what}: what it hangs on is lost")),
            Err(StoreError::Failed(why)) => self.lose(format!("{what}: {why}")),
            Err(error) => return Err(error),
        }
        Ok(())
    }

    fn lose(&mut self, what: String) {
        self.salvaged.lost.push(what);
    }
}

fn entry(row: &AnyRow) -> Result<Vec<Value>, StoreError> {
    let text = |column: &str| row.try_get::<String, _>(column).map(Value::from);
    let some_text = |column: &str| row.try_get::<Option<String>, _>(column).map(Value::from);
    let int = |column: &str| row.try_get::<i64, _>(column).map(Value::from);
    Ok(vec![
        text("id")?,
        int("seq")?,
        some_text("golfer_id")?,
        text("by_whom")?,
        text("sentence")?,
        int("at_ms")?,
        text("digest")?,
        some_text("undoes")?,
        some_text("undone_by")?,
    ])
}

fn change(row: &AnyRow) -> Result<Vec<Value>, StoreError> {
    let text = |column: &str| row.try_get::<String, _>(column).map(Value::from);
    let int = |column: &str| row.try_get::<i64, _>(column).map(Value::from);
    // what cannot be read again is no history
    serde_json::from_str::<Record>(&row.try_get::<String, _>("after")?)?;
    Ok(vec![
        text("set_id")?,
        int("place")?,
        text("record_kind")?,
        text("record_id")?,
        int("revision")?,
        row.try_get::<Option<String>, _>("before")?.into(),
        text("after")?,
    ])
}

/// A record that is whole: it can be read, and could be saved.
fn whole(kind: RecordKind, row: &AnyRow) -> Result<(Id, Vec<Value>), StoreError> {
    let kept = record_of(kind, row)?;
    kept.record.check().map_err(|error| StoreError::Failed(error.to_string()))?;
    placed(&kept, row)
}

/// How many of a record's values say where in the sequence it stands, at their end.
const PLACE: usize = 2;

/// A record's values with its revision and its place in the sequence.
fn placed(kept: &Kept<Record>, row: &AnyRow) -> Result<(Id, Vec<Value>), StoreError> {
    let mut values = values_of(&kept.record)?;
    values.push(kept.revision.into());
    values.push(row.try_get::<i64, _>("seq")?.into());
    values.push(row.try_get::<i64, _>("place")?.into());
    Ok((kept.record.id().clone(), values))
}

/// The last state of every record of a kind that the salvaged history holds.
async fn last_states(
    to: &mut AnyConnection,
    kind: RecordKind,
) -> Result<BTreeMap<Id, Vec<Value>>, StoreError> {
    let mut last: BTreeMap<Id, Vec<Value>> = BTreeMap::new();
    for row in sqlx::query(LAST_STATES).bind(kind.word()).fetch_all(to).await? {
        let record: Record = serde_json::from_str(&row.try_get::<String, _>("after")?)?;
        let (id, mut values) = placed(&Kept { record, revision: row.try_get("revision")? }, &row)?;
        // where it was written first stays, as the last of a list is the one that counts; a golfer is where last worked on
        if kind != RecordKind::Golfer
            && let Some(first) = last.get(&id)
        {
            let place = values.len() - PLACE;
            values.splice(place.., first[place..].iter().cloned());
        }
        last.insert(id, values);
    }
    Ok(last)
}

/// Numbers that follow each other, as first and last.
fn runs(numbers: &[i64]) -> Vec<(i64, i64)> {
    let mut runs: Vec<(i64, i64)> = Vec::new();
    for number in numbers {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => runs.push((*number, *number)),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::runs;

    #[test]
    fn numbers_that_follow_each_other_are_told_as_one() {
        assert_eq!(runs(&[3, 4, 5, 9, 11, 12]), [(3, 5), (9, 9), (11, 12)]);
        assert!(runs(&[]).is_empty());
    }
}
