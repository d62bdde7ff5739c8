//! What a column of a foreign table can hold: the names of the clubs, or readings of one field in one unit.
//!
//! A column has a key, so that a form can send it and a matching be remembered.

mod guess;

pub use guess::guess_columns;

use crate::{ExchangeError, HeaderUnit};
use serde::{Deserialize, Serialize};
use std::fmt;
use studio::{Field, Subject};

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Column {
    /// The club's name.
    ClubName,
    /// Readings of one field of the clubs.
    Reading {
        /// The field.
        field: Field,
        /// The unit of bare numbers; the house's where there is none.
        unit: Option<HeaderUnit>,
    },
}

impl Column {
    /// Returns everything a column can be, with every unit it can be in.
    #[must_use]
    pub fn choices() -> Vec<Self> {
        let readings = Field::of(Subject::Club).flat_map(|field| {
            let units = HeaderUnit::ALL.iter().copied().filter(move |unit| unit.is_of(field.kind()));
            std::iter::once(None).chain(units.map(Some)).map(move |unit| Self::Reading { field, unit })
        });
        std::iter::once(Self::ClubName).chain(readings).collect()
    }

    /// Returns its key, as `name` or `length mm`.
    #[must_use]
    pub fn key(self) -> String {
        match self {
            Self::ClubName => "name".to_owned(),
            Self::Reading { field, unit: None } => field.key().to_owned(),
            Self::Reading { field, unit: Some(unit) } => format!("{} {}", field.key(), unit.word()),
        }
    }

    /// Finds a column by its key.
    ///
    /// # Errors
    /// [`ExchangeError::UnknownColumn`] when there is none.
    pub fn from_key(key: &str) -> Result<Self, ExchangeError> {
        let unknown = || ExchangeError::UnknownColumn(key.chars().take(40).collect());
        Self::choices().into_iter().find(|column| column.key() == key).ok_or_else(unknown)
    }

    /// Tells whether another column holds the same thing, in whatever unit.
    #[must_use]
    pub fn is_same_as(self, other: Self) -> bool {
        match (self, other) {
            (Self::ClubName, Self::ClubName) => true,
            (Self::Reading { field, .. }, Self::Reading { field: other, .. }) => field == other,
            _ => false,
        }
    }
}

impl fmt::Display for Column {
    /// Names it for a person: `Club`, `Length`, `Length, numbers in mm`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ClubName => f.write_str("Club"),
            Self::Reading { field, unit: None } => f.write_str(field.label()),
            Self::Reading { field, unit: Some(unit) } => {
                write!(f, "{}, numbers in {}", field.label(), unit.word())
            }
        }
    }
}

impl TryFrom<String> for Column {
    type Error = ExchangeError;

    fn try_from(key: String) -> Result<Self, ExchangeError> {
        Self::from_key(&key)
    }
}

impl From<Column> for String {
    fn from(column: Column) -> Self {
        column.key()
    }
}

#[cfg(test)]
mod tests {
    use super::Column;

    #[test]
    fn a_key_finds_its_column() {
        for column in Column::choices() {
            assert_eq!(Column::from_key(&column.key()), Ok(column));
        }
        assert_eq!(Column::from_key("length mm").unwrap().to_string(), "Length, numbers in mm");
        for none in ["", "stature", "length g", "Length"] {
            assert!(Column::from_key(none).is_err(), "{none}");
        }
        let kept = serde_json::to_string(&[Some(Column::ClubName), None]).unwrap();
        assert_eq!(kept, "[\"name\",null]");
        assert!(serde_json::from_str::<Column>("\"stature\"").is_err());
    }
}
