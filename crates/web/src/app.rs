//! What every page works with: the store, the clock and the address it is served under.

use crate::apart::Apart;
use crate::door::Door;
use crate::error::PageError;
use crate::events::Streams;
use crate::heavy::Heavy;
use crate::maps::Maps;
use crate::uploads::Uploads;
use jiff::ZonedDateTime;
use jiff::civil::Date;
use sheet::DateLanguage;
use std::fmt;
use std::net::SocketAddr;
use std::sync::Arc;
use store::{Photos, Store};
use studio::{Dossier, HouseSettings, Id, Kept};
use uuid::Uuid;

/// Reads the time; a test gives its own.
#[derive(Clone)]
pub struct Clock(Arc<dyn Fn() -> ZonedDateTime + Send + Sync>);

impl Clock {
    /// A clock that asks `now`.
    pub fn new(now: impl Fn() -> ZonedDateTime + Send + Sync + 'static) -> Self {
        Self(Arc::new(now))
    }

    /// Returns the time.
    #[must_use]
    pub fn now(&self) -> ZonedDateTime {
        (self.0)()
    }
}

impl fmt::Debug for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Clock")
    }
}

/// The studio as it is served.
#[derive(Debug, Clone)]
pub struct App {
    /// The records.
    pub store: Store,
    /// The time.
    pub clock: Clock,
    /// The address it is served under.
    pub address: SocketAddr,
    /// Who may come in.
    pub(crate) door: Door,
    /// The pictures of photos, where the studio has a folder.
    pub photos: Option<Photos>,
    /// The program that reads photos and workbooks, each in a process apart.
    pub apart: Option<Apart>,
    /// Files between being looked at and being taken.
    pub uploads: Uploads,
    /// Maps of what strikes cost.
    pub(crate) maps: Maps,
    /// Turns of what takes long.
    pub(crate) heavy: Heavy,
    /// How many streams of changes may still be opened.
    pub(crate) streams: Streams,
    /// The studios of a chain that are open in this program, this one among them; none for a studio by itself.
    pub(crate) chain: Arc<[Branch]>,
    /// Whether the studio is one that goes away, as the demo's.
    pub is_temporary: bool,
}

/// A studio of a chain, open in this program.
#[derive(Debug, Clone)]
pub(crate) struct Branch {
    /// Its name in the chain.
    pub(crate) name: String,
    /// The address this machine opens it under.
    pub(crate) url: String,
    /// Its records.
    pub(crate) store: Store,
}

impl App {
    pub(crate) fn now(&self) -> Now {
        let now = self.clock.now();
        Now {
            day: now.date(),
            ms: now.timestamp().as_millisecond(),
            zone: now.time_zone().clone(),
            dates: DateLanguage::default(),
        }
    }

    pub(crate) async fn house(&self) -> Result<Kept<HouseSettings>, PageError> {
        Ok(self.store.house().await?)
    }

    /// Loads a golfer and the house.
    pub(crate) async fn golfer(&self, id: &str) -> Result<(Dossier, HouseSettings), PageError> {
        let id = Id::parse(id).map_err(|_| PageError::NotFound("golfer"))?;
        let dossier = self.store.dossier(&id).await.map_err(|error| match error {
            store::StoreError::Refused(_) => PageError::NotFound("golfer"),
            other => other.into(),
        })?;
        Ok((dossier, self.house().await?.record))
    }

    /// The address pages are opened under on this machine.
    pub(crate) fn url(&self) -> String {
        format!("http://{}", self.address)
    }

    /// The address a code on paper leads to: a tablet's where tablets are let in.
    pub(crate) fn url_on_paper(&self) -> String {
        self.door.network().map_or_else(|| self.url(), |network| network.names().url())
    }
}

/// The moment a request is answered.
#[derive(Debug, Clone)]
pub(crate) struct Now {
    pub(crate) day: Date,
    pub(crate) ms: i64,
    pub(crate) zone: jiff::tz::TimeZone,
    dates: DateLanguage,
}

impl Now {
    /// The same, with days written as the house writes them.
    pub(crate) fn in_words_of(self, house: &HouseSettings) -> Self {
        Self { dates: house.dates(), ..self }
    }

    /// Writes a day.
    pub(crate) fn date(&self, day: Date) -> String {
        self.dates.day(day)
    }

    /// Writes an instant with its day: `30 Nov 2026, 14:02`.
    pub(crate) fn moment(&self, at_ms: i64) -> String {
        let Ok(at) = jiff::Timestamp::from_millisecond(at_ms) else { return String::new() };
        let at = at.to_zoned_datetime(self.zone.clone());
        format!("{}, {}", self.date(at.date()), at.strftime("%H:%M"))
    }

    /// Writes an instant as the clock on the wall shows it: `14:02`, with the day when it was another.
    pub(crate) fn clock_time(&self, at_ms: i64) -> String {
        let Ok(at) = jiff::Timestamp::from_millisecond(at_ms) else { return String::new() };
        let at = at.to_zoned_datetime(self.zone.clone());
        if at.date() == self.day { at.strftime("%H:%M").to_string() } else { self.moment(at_ms) }
    }
}

/// A new id.
pub(crate) fn new_id() -> Id {
    Id::of_bytes(Uuid::now_v7().into_bytes())
}
