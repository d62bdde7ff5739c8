//! One file for each kind of record: its table, its values and how it is read again.

mod club;
mod follow_up;
mod golfer;
mod house;
mod job;
mod part;
mod photo;
mod reading;
mod remark;
mod stock;
mod strike;
mod target;
mod tick;
mod trial;
mod visit;

pub(crate) use job::states_where;

use crate::StoreError;
use crate::columns::{Reader, Table, Value};
use sqlx::any::AnyRow;
use studio::{Id, Kept, Record, RecordKind};

/// A kind of record and its table.
pub(crate) trait Stored: Sized {
    /// The statements of its table.
    fn table() -> &'static Table;
    /// The values of its columns, in their order, without revision and place in the sequence.
    fn values(&self) -> Result<Vec<Value>, StoreError>;
    /// Reads it from a row.
    fn read(row: &Reader<'_>) -> Result<Self, StoreError>;
}

/// Reads a record with its revision.
pub(crate) fn kept<T: Stored>(row: &AnyRow) -> Result<Kept<T>, StoreError> {
    let reader = Reader(row);
    Ok(Kept { record: T::read(&reader)?, revision: reader.int("revision")? })
}

pub(crate) fn id(text: &str) -> Option<Id> {
    Id::parse(text).ok()
}

pub(crate) fn day(text: &str) -> Option<jiff::civil::Date> {
    text.parse().ok()
}

macro_rules! every_kind {
    ($($kind:ident),+) => {
        /// Returns the table of a kind.
        pub(crate) fn table_of(kind: RecordKind) -> &'static Table {
            match kind { $(RecordKind::$kind => <studio_types::$kind as Stored>::table(),)+ }
        }

        /// Returns the values of any record.
        pub(crate) fn values_of(record: &Record) -> Result<Vec<Value>, StoreError> {
            match record { $(Record::$kind(record) => record.values(),)+ }
        }

        /// Reads any record with its revision.
        pub(crate) fn record_of(kind: RecordKind, row: &AnyRow) -> Result<Kept<Record>, StoreError> {
            match kind {
                $(RecordKind::$kind => {
                    let kept = kept::<studio_types::$kind>(row)?;
                    Ok(Kept { record: Record::$kind(kept.record), revision: kept.revision })
                })+
            }
        }
    };
}

/// The record types under the names of their kinds.
mod studio_types {
    pub(super) use studio::{
        FollowUp, GolferFile as Golfer, HouseSettings as House, JobFile as Job, KeptTarget as Target,
        OwnedClub as Club, Photo, Reading, Remark, StockMove as Stock, StockedPart as Part,
        StrikeMark as Strike, Tick, TrialFile as Trial, Visit,
    };
}

every_kind!(
    Golfer, Visit, Club, Job, Trial, Reading, Target, Tick, Strike, FollowUp, Remark, Photo, House, Part,
    Stock
);
