//! The invented house: its name and address, who works there, and the day it is told for.

use crate::Act;
use crate::clock::Clock;
use crate::ids::Ids;
use studio::{Changes, HouseSettings};

/// Who works there.
pub(crate) const FITTER: &str = "Ines Falk";

/// What the owner typed over the usual settings. The telephone number is one of those kept free for stories.
/// Prices are invented, as all of it is.
const SETTINGS: [(&str, &str); 18] = [
    ("name", "The Back Bench (example)"),
    ("address", "Lessons and club bench, 3 Mill Lane, Anyham · 01632 960 314"),
    ("fitter", FITTER),
    ("currency", "£"),
    ("price.extend", "18"),
    ("price.cut", "14"),
    ("price.other_shaft", "32"),
    ("price.regrip", "8"),
    ("price.plug", "3.50"),
    ("price.grip", "8.95"),
    ("price.shaft", "38"),
    ("price.ferrule", "0.90"),
    ("price.weight", "1.80"),
    ("price.minimum", "15"),
    ("price.set_discount", "10 % from 8 clubs"),
    ("price.rush", "25 %"),
    ("price.tax", "20 %"),
    ("price.deposit", "30 %"),
];

/// The house and its clock.
#[derive(Debug)]
pub(crate) struct Shop {
    /// Day and time.
    pub(crate) clock: Clock,
    /// The settings.
    pub(crate) house: HouseSettings,
}

impl Shop {
    /// Opens it.
    pub(crate) fn opened(clock: Clock) -> Self {
        let house = SETTINGS.iter().fold(HouseSettings::usual(), |house, (key, typed)| {
            house.with(key, typed).expect("settings the house can have")
        });
        Self { clock, house }
    }

    /// Returns the act that opened it, before all others.
    pub(crate) fn opening(&self) -> Act {
        let changes =
            Changes::new(Ids::of(0).next(), FITTER, "House: name, address, who works here and the prices")
                .with_new(studio::Record::House(self.house.clone()));
        Act { changes, at_ms: self.clock.ago(120, 0).at_ms }
    }
}
