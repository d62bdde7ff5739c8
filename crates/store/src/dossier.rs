//! Everything of a golfer, as it was at one moment.

use crate::kinds::{Stored, kept, table_of};
use crate::{Refusal, Store, StoreError};
use sqlx::{AnyConnection, Row};
use std::sync::LazyLock;
use studio::{Dossier, Id, Kept, RecordKind};

/// The golfer, and the tables that hold anything of theirs.
static GOLFER: LazyLock<String> = LazyLock::new(|| {
    let hanging =
        RecordKind::ALL.iter().map(|kind| table_of(*kind)).filter(|table| table.by_golfer.is_some());
    let there: Vec<String> = hanging
        .map(|table| table.name)
        .map(|table| {
            format!("CASE WHEN EXISTS (SELECT 1 FROM {table} WHERE golfer_id = found.id) THEN '{table} ' ELSE '' END")
        })
        .collect();
    let by_id = &table_of(RecordKind::Golfer).by_id;
    format!("SELECT found.*, {} AS there FROM ({by_id}) AS found", there.join(" || "))
});

impl Store {
    /// Reads everything of one golfer, as it was at one moment.
    ///
    /// # Errors
    /// [`Refusal::NotThere`] when there is no such golfer.
    pub async fn dossier(&self, golfer: &Id) -> Result<Dossier, StoreError> {
        let mut moment = self.one_moment().await?;
        let dossier = dossier_of(&mut moment, golfer.as_str()).await?;
        moment.commit().await?;
        Ok(dossier)
    }
}

/// Reads everything of one golfer.
pub(crate) async fn dossier_of(connection: &mut AnyConnection, golfer: &str) -> Result<Dossier, StoreError> {
    let row = sqlx::query(GOLFER.as_str())
        .bind(golfer)
        .fetch_optional(&mut *connection)
        .await?
        .ok_or(Refusal::NotThere)?;
    let there: String = row.try_get("there")?;
    let mut hanging = Hanging { connection, golfer, there };
    Ok(Dossier {
        golfer: kept(&row)?,
        visits: hanging.all().await?,
        readings: hanging.all().await?,
        clubs: hanging.all().await?,
        targets: hanging.all().await?,
        trials: hanging.all().await?,
        strikes: hanging.all().await?,
        jobs: hanging.all().await?,
        ticks: hanging.all().await?,
        follow_ups: hanging.all().await?,
        remarks: hanging.all().await?,
        photos: hanging.all().await?,
    })
}

/// What hangs on one golfer.
struct Hanging<'a> {
    connection: &'a mut AnyConnection,
    golfer: &'a str,
    there: String,
}

impl Hanging<'_> {
    /// Reads all of one kind; what is not there is not asked for.
    async fn all<T: Stored + 'static>(&mut self) -> Result<Vec<Kept<T>>, StoreError> {
        let table = T::table();
        let is_there = self.there.split_whitespace().any(|there| there == table.name);
        let Some(sql) = table.by_golfer.as_deref().filter(|_| is_there) else { return Ok(Vec::new()) };
        let rows = sqlx::query(sql).bind(self.golfer).fetch_all(&mut *self.connection).await?;
        rows.iter().map(kept).collect()
    }
}
