//! The example studio: what a person finds who opens the tool to look round before there are golfers of their own.
//!
//! A house with its shelf, and twelve invented golfers, told as acts of the past weeks by the fitter who would have done them, so that every
//! station of the spine, every state a station can be in and everything that can be due is there to be seen, and the
//! timeline reads as a real one does. Targets and jobs are made from the plans the readings give; nothing is
//! written down that the tool would not have said itself.
//!
//! Assumes an empty store: ids and job numbers are always the same, so that an act sent twice counts once. The first
//! act sets the house's name, which a store whose owner has set one refuses; the others do not need it. Days and times
//! follow from the arguments. Pure; whoever calls saves each act with its time, in the order given.

mod clock;
mod folder;
mod golfers;
mod ids;
mod shelf;
mod shop;
mod table;

use jiff::civil::Date;
use studio::Changes;

/// Something that was done in the example studio, and when.
#[derive(Debug, Clone, PartialEq)]
pub struct Act {
    /// What it put into the records.
    pub changes: Changes,
    /// When, milliseconds UTC; not after the time the studio is told for.
    pub at_ms: i64,
}

/// Tells the example studio as it stands on a day, oldest act first.
///
/// `today` is the studio's own day and `now_ms` the instant, milliseconds UTC; every act lies before it. The same
/// two arguments give the same acts. On another day the days differ and the ids do not, so a store that holds the
/// example refuses it a second time and keeps what it has.
///
/// # Panics
/// Never with any day: what is in the stories does not depend on it, and tests go through all of it.
#[must_use]
pub fn studio(today: Date, now_ms: i64) -> Vec<Act> {
    let shop = shop::Shop::opened(clock::Clock::new(today, now_ms));
    let mut acts = vec![shop.opening(), shelf::filled(shop.clock.ago(119, 0))];
    acts.extend(golfers::STORIES.iter().flat_map(|story| story(&shop)));
    // a golfer's own acts keep their order: the sort leaves what is alike as it was
    acts.sort_by_key(|act| act.at_ms);
    acts
}
