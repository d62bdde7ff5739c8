//! Mapping a record to its table: column names once, values in the same order, one upsert and one select made of
//! them. The SQL is put together from constants alone; what a person typed is always bound.

use crate::StoreError;
use sqlx::any::{AnyArguments, AnyRow};
use sqlx::query::Query;
use sqlx::{Any, Row};
use std::sync::LazyLock;

/// A value of a column.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Value {
    Text(Option<String>),
    Int(Option<i64>),
    Real(Option<f64>),
}

impl From<&str> for Value {
    fn from(text: &str) -> Self {
        Self::Text(Some(text.to_owned()))
    }
}

impl From<String> for Value {
    fn from(text: String) -> Self {
        Self::Text(Some(text))
    }
}

impl From<Option<String>> for Value {
    fn from(text: Option<String>) -> Self {
        Self::Text(text)
    }
}

impl From<i64> for Value {
    fn from(number: i64) -> Self {
        Self::Int(Some(number))
    }
}

impl From<Option<i64>> for Value {
    fn from(number: Option<i64>) -> Self {
        Self::Int(number)
    }
}

impl From<bool> for Value {
    fn from(flag: bool) -> Self {
        Self::Int(Some(i64::from(flag)))
    }
}

impl From<f64> for Value {
    fn from(number: f64) -> Self {
        Self::Real(Some(number))
    }
}

impl From<Option<f64>> for Value {
    fn from(number: Option<f64>) -> Self {
        Self::Real(number)
    }
}

/// The statements of one table.
pub(crate) struct Statements {
    pub(crate) name: &'static str,
    pub(crate) upsert: String,
    pub(crate) by_id: String,
    /// Those that hang on a golfer, where they do.
    pub(crate) by_golfer: Option<String>,
    /// By place in a SQLite file, for what is left of a damaged one.
    pub(crate) by_place_in_file: String,
}

/// The statements of a table, made when they are first used.
pub(crate) type Table = LazyLock<Statements>;

impl Statements {
    /// Makes the statements of a table from its columns, `id` first; `revision`, `seq` and `place` are added; where a
    /// record was written first stays.
    pub(crate) fn of(table: &'static str, columns: &[&str]) -> Self {
        let all: Vec<&str> = columns.iter().copied().chain(["revision", "seq", "place"]).collect();
        let places: Vec<String> = (1..=all.len()).map(|place| format!("${place}")).collect();
        let updates: Vec<String> = all
            .iter()
            .filter(|column| !matches!(**column, "id" | "seq" | "place"))
            .map(|column| format!("{column} = excluded.{column}"))
            .collect();
        let list = all.join(", ");
        Self {
            name: table,
            upsert: format!(
                "INSERT INTO {table} ({list}) VALUES ({}) ON CONFLICT (id) DO UPDATE SET {}",
                places.join(", "),
                updates.join(", ")
            ),
            by_id: format!("SELECT {list} FROM {table} WHERE id = $1"),
            by_golfer: columns
                .contains(&"golfer_id")
                .then(|| format!("SELECT {list} FROM {table} WHERE golfer_id = $1 ORDER BY seq, place")),
            by_place_in_file: format!("SELECT {list} FROM {table} WHERE rowid BETWEEN $1 AND $2"),
        }
    }
}

/// A statement with its values bound.
///
/// A number that is not there goes to a PostgreSQL server under the type of a shorter one (sqlx 0.9.0, `Any`); a statement
/// prepared so and kept would refuse every number afterwards. Such a statement is not kept.
pub(crate) fn bound(sql: &'static str, values: Vec<Value>) -> Query<'static, Any, AnyArguments> {
    let is_kept = !values.contains(&Value::Real(None));
    values.into_iter().fold(sqlx::query(sql).persistent(is_kept), |query, value| match value {
        Value::Text(text) => query.bind(text),
        Value::Int(number) => query.bind(number),
        Value::Real(number) => query.bind(number),
    })
}

/// Reads the columns of a row by name.
pub(crate) struct Reader<'r>(pub(crate) &'r AnyRow);

impl Reader<'_> {
    pub(crate) fn text(&self, column: &str) -> Result<String, StoreError> {
        Ok(self.0.try_get(column)?)
    }

    pub(crate) fn some_text(&self, column: &str) -> Result<Option<String>, StoreError> {
        Ok(self.0.try_get(column)?)
    }

    pub(crate) fn int(&self, column: &str) -> Result<i64, StoreError> {
        Ok(self.0.try_get(column)?)
    }

    /// Reads a small number that is not negative.
    pub(crate) fn small<T: TryFrom<i64>>(&self, column: &str) -> Result<T, StoreError> {
        self.int(column)?.try_into().map_err(|_| unreadable(column))
    }

    pub(crate) fn some_int(&self, column: &str) -> Result<Option<i64>, StoreError> {
        Ok(self.0.try_get(column)?)
    }

    pub(crate) fn real(&self, column: &str) -> Result<f64, StoreError> {
        Ok(self.0.try_get(column)?)
    }

    pub(crate) fn some_real(&self, column: &str) -> Result<Option<f64>, StoreError> {
        Ok(self.0.try_get(column)?)
    }

    pub(crate) fn flag(&self, column: &str) -> Result<bool, StoreError> {
        Ok(self.int(column)? != 0)
    }

    /// Reads a text that has a form of its own: an id, a day, a word.
    pub(crate) fn formed<T>(&self, column: &str, read: impl Fn(&str) -> Option<T>) -> Result<T, StoreError> {
        let text = self.text(column)?;
        read(&text).ok_or_else(|| unreadable(column))
    }

    /// The same where there may be none.
    pub(crate) fn some_formed<T>(
        &self,
        column: &str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Result<Option<T>, StoreError> {
        match self.some_text(column)? {
            Some(text) => read(&text).map(Some).ok_or_else(|| unreadable(column)),
            None => Ok(None),
        }
    }
}

fn unreadable(column: &str) -> StoreError {
    StoreError::Failed(format!("column {column} holds what this version cannot read"))
}
