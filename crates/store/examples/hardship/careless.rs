//! The control: entries written past the store on a connection that never syncs. What the proof looks for must be found
//! in what it leaves, or the proof is blind.

use crate::step::{act_id, at_ms};
use crate::work::{studio_in, tell};
use sqlx::{AnyConnection, Connection};
use std::path::Path;
use store::{Address, Store, StoreError};

const ENTRY: &str = "INSERT INTO change_set (id, seq, golfer_id, by_whom, sentence, at_ms, digest) \
                     VALUES ($1, $2, NULL, 'I. F.', $3, $4, 'none')";

/// Makes a studio with the store, closes it, and writes entries without a sync.
pub(crate) async fn work(folder: &Path, steps: u64) -> Result<(), StoreError> {
    let path = studio_in(folder);
    Store::open(&Address::File(path.clone())).await?.close().await;
    let mut connection = AnyConnection::connect(&format!("sqlite://{}?mode=rw", path.display())).await?;
    // the journal is folded in often, so that the file itself is at stake as well
    for setting in ["PRAGMA synchronous=OFF", "PRAGMA wal_autocheckpoint=20"] {
        sqlx::query(setting).execute(&mut connection).await?;
    }
    // what the store would hold is not told: the acts are counted
    tell("opened -")?;
    for number in 0..steps {
        let seq = i64::try_from(number).unwrap_or_default() + 1;
        sqlx::query(ENTRY)
            .bind(act_id(number).as_str())
            .bind(seq)
            .bind("what was found ".repeat(60))
            .bind(at_ms(number))
            .execute(&mut connection)
            .await?;
        tell(&format!("saved {number} {} -", act_id(number)))?;
    }
    connection.close().await?;
    Ok(())
}
