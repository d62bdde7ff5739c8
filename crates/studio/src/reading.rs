//! A reading: one value, once read, kept as it was typed. A later reading stands in front of it.

use crate::{Field, Id};
use fitting::Shoes;
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One reading of a golfer or a club.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// Its id.
    pub id: Id,
    /// The golfer.
    pub golfer: Id,
    /// The club, when it is of one.
    #[serde(default)]
    pub club: Option<Id>,
    /// The job whose finished club it is of.
    #[serde(default)]
    pub job: Option<Id>,
    /// What was read.
    pub field: Field,
    /// As it is kept: every reader of cards takes it.
    pub typed: String,
    /// In SI units, where it is a quantity.
    #[serde(default)]
    pub value_si: Option<f64>,
    /// Shoes, where they matter.
    #[serde(default, with = "shoes")]
    #[schemars(with = "Option<String>", extend("enum" = [null, "on", "off"]))]
    pub shoes: Option<Shoes>,
    /// What it was read with.
    #[serde(default)]
    pub instrument: Option<String>,
    /// Who read it.
    pub by: String,
    /// The day of the visit.
    #[schemars(with = "String", extend("format" = "date"))]
    pub day: Date,
    /// When it was written down, milliseconds UTC.
    pub at_ms: i64,
    /// Taken back: kept, and not used.
    #[serde(default)]
    pub removed: bool,
}

/// Shoes by their word, as on the fitting card.
pub(crate) mod shoes {
    use fitting::Shoes;
    use serde::{Deserialize, Deserializer, Serializer, de::Error};

    pub(crate) fn word(shoes: Shoes) -> &'static str {
        match shoes {
            Shoes::On => "on",
            Shoes::Off => "off",
        }
    }

    pub(crate) fn read(word: &str) -> Option<Shoes> {
        [Shoes::On, Shoes::Off].into_iter().find(|shoes| self::word(*shoes) == word)
    }

    pub(crate) fn serialize<S: Serializer>(shoes: &Option<Shoes>, to: S) -> Result<S::Ok, S::Error> {
        match shoes {
            Some(shoes) => to.serialize_some(word(*shoes)),
            None => to.serialize_none(),
        }
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Shoes>, D::Error> {
        let Some(word) = Option::<String>::deserialize(from)? else {
            return Ok(None);
        };
        read(&word).map(Some).ok_or_else(|| D::Error::custom("expected \"on\" or \"off\""))
    }
}

impl Reading {
    /// Reads shoes by their word.
    #[must_use]
    pub fn shoes_from(word: &str) -> Option<Shoes> {
        shoes::read(word)
    }

    /// Names shoes as the fitting card does.
    #[must_use]
    pub fn shoes_word(&self) -> Option<&'static str> {
        self.shoes.map(shoes::word)
    }
}
