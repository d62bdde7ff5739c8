//! What takes more than one statement to read, read as it was at one moment.

use crate::dossier::dossier_of;
use crate::read::house_of;
use crate::shelf::shelf_records_of;
use crate::{Address, Store, StoreError};
use sqlx::{Any, Row, Transaction};
use studio::{Dossier, HouseSettings, ShelfRecords};

/// All that a studio holds, but for the history.
#[derive(Debug, Clone, PartialEq)]
pub struct Everything {
    /// The house's settings.
    pub house: HouseSettings,
    /// The shelf, with all that ever came and went.
    pub shelf: ShelfRecords,
    /// Every golfer, those put away too.
    pub dossiers: Vec<Dossier>,
}

impl Store {
    /// Reads all that the studio holds at one moment, whoever writes meanwhile.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub async fn everything(&self) -> Result<Everything, StoreError> {
        const SQL: &str = "SELECT id FROM golfer ORDER BY id";
        let mut moment = self.one_moment().await?;
        let mut dossiers = Vec::new();
        for row in sqlx::query(SQL).fetch_all(&mut *moment).await? {
            dossiers.push(dossier_of(&mut moment, row.try_get("id")?).await?);
        }
        let shelf = shelf_records_of(&mut moment).await?;
        let house = house_of(&mut *moment).await?.record;
        moment.commit().await?;
        Ok(Everything { house, shelf, dossiers })
    }

    /// Begins a transaction whose statements all see the same. A file's always do; a server's have to be told.
    pub(crate) async fn one_moment(&self) -> Result<Transaction<'static, Any>, StoreError> {
        let begin = match self.inner.address {
            Address::File(_) => "BEGIN",
            Address::Server(_) => "BEGIN ISOLATION LEVEL REPEATABLE READ, READ ONLY",
        };
        Ok(self.inner.readers.begin_with(begin).await?)
    }
}
