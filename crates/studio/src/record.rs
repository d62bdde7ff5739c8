//! Any record, for those who keep them.

use crate::{
    FollowUp, GolferFile, HouseSettings, Id, JobFile, KeptTarget, OwnedClub, Photo, Reading, Remark,
    StockMove, StockedPart, StrikeMark, Tick, TrialFile, Visit,
};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

macro_rules! records {
    ($($name:ident($record:ty) $word:literal)+) => {
        /// A record of one of the kinds the studio keeps.
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
        #[serde(tag = "kind", rename_all = "snake_case")]
        pub enum Record {
            $(
                #[doc = $word]
                $name($record),
            )+
        }

        /// The kind of a record.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum RecordKind {
            $(
                #[doc = $word]
                $name,
            )+
        }

        impl RecordKind {
            /// Every kind, those others hang on first.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// Names it.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$name => $word,)+ }
            }
        }

        impl Record {
            /// Returns its kind.
            #[must_use]
            pub fn kind(&self) -> RecordKind {
                match self { $(Self::$name(_) => RecordKind::$name,)+ }
            }

            /// Returns its id.
            #[must_use]
            pub fn id(&self) -> &Id {
                match self { $(Self::$name(record) => &record.id,)+ }
            }

            /// Returns the same record taken back, or brought back.
            #[must_use]
            pub fn with_removed(mut self, removed: bool) -> Self {
                match &mut self { $(Self::$name(record) => record.removed = removed,)+ }
                self
            }
        }

        $(
            impl From<$record> for Record {
                fn from(record: $record) -> Self {
                    Self::$name(record)
                }
            }
        )+
    };
}

records! {
    Golfer(GolferFile) "golfer"
    Visit(Visit) "visit"
    Club(OwnedClub) "club"
    Job(JobFile) "job"
    Trial(TrialFile) "trial"
    Reading(Reading) "reading"
    Target(KeptTarget) "target"
    Tick(Tick) "tick"
    Strike(StrikeMark) "strike"
    FollowUp(FollowUp) "follow-up"
    Remark(Remark) "remark"
    Photo(Photo) "photo"
    House(HouseSettings) "house"
    Part(StockedPart) "part"
    Stock(StockMove) "stock"
}

impl Record {
    /// Returns the golfer it belongs to; the house's settings and its shelf belong to none.
    #[must_use]
    pub fn golfer(&self) -> Option<&Id> {
        Some(match self {
            Self::Golfer(record) => &record.id,
            Self::Visit(record) => &record.golfer,
            Self::Club(record) => &record.golfer,
            Self::Job(record) => &record.golfer,
            Self::Trial(record) => &record.golfer,
            Self::Strike(record) => &record.golfer,
            Self::Reading(record) => &record.golfer,
            Self::Target(record) => &record.golfer,
            Self::Tick(record) => &record.golfer,
            Self::FollowUp(record) => &record.golfer,
            Self::Remark(record) => &record.golfer,
            Self::Photo(record) => &record.golfer,
            Self::House(_) | Self::Part(_) | Self::Stock(_) => return None,
        })
    }
}
