//! A golfer as the studio files them.

use crate::{Id, StudioError, plain_text};
use fitting::{Handedness, Sex};
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Whether a child's parent or guardian agreed, later the golfer, and how that was checked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Consent {
    /// Who agreed.
    pub by: String,
    /// When.
    #[schemars(with = "String", extend("format" = "date"))]
    pub day: Date,
    /// How it was checked: in person, in writing, ...
    pub how: String,
}

/// A golfer's file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GolferFile {
    /// Its id.
    pub id: Id,
    /// Name, as it stands on the sheets.
    pub name: String,
    /// One way to reach them.
    #[serde(default)]
    pub contact: Option<String>,
    /// Which side they play from.
    #[serde(with = "handedness")]
    #[schemars(with = "String", extend("enum" = ["right-handed", "left-handed"]))]
    pub plays: Handedness,
    /// Sex, only to judge whether a reading can be believed.
    #[serde(default, with = "sex")]
    #[schemars(with = "String", extend("enum" = ["", "man", "woman"]))]
    pub sex: Sex,
    /// Day of birth, where growth needs it.
    #[serde(default)]
    #[schemars(with = "Option<String>", extend("format" = "date"))]
    pub born: Option<Date>,
    /// A parent's or guardian's agreement; from the age on at which golfers agree themselves, theirs.
    #[serde(default)]
    pub consent: Option<Consent>,
    /// Why a doubtful reading is taken all the same.
    #[serde(default)]
    pub overruled: Option<String>,
    /// Which number the bench holds for this golfer, where it is not the house's.
    #[serde(default)]
    pub hold: Option<String>,
    /// Put away: not listed, nothing lost.
    #[serde(default)]
    pub removed: bool,
}

/// Under this age a golfer's data needs a parent's or guardian's consent. House choice; local law sets 13 to 16.
pub(crate) const CONSENT_UNDER: i16 = 16;

/// The name of a golfer who was forgotten.
const ERASED: &str = "erased";

impl GolferFile {
    /// Opens a file from the two things needed.
    ///
    /// # Errors
    /// [`StudioError::BadText`] when the name is none.
    pub fn new(id: Id, name: &str, plays: Handedness) -> Result<Self, StudioError> {
        Ok(Self {
            id,
            name: plain_text("name", name)?.ok_or_else(|| StudioError::BadText {
                what: "name",
                expected: "a name".to_owned(),
                found: "nothing".to_owned(),
            })?,
            contact: None,
            plays,
            sex: Sex::NotSaid,
            born: None,
            consent: None,
            overruled: None,
            hold: None,
            removed: false,
        })
    }

    /// What is left of a golfer who was forgotten and of whom the law keeps what was paid: nothing but the id.
    #[must_use]
    pub fn erased(&self) -> Self {
        Self {
            id: self.id.clone(),
            name: ERASED.to_owned(),
            contact: None,
            plays: Handedness::Right,
            sex: Sex::NotSaid,
            born: None,
            consent: None,
            overruled: None,
            hold: None,
            removed: true,
        }
    }

    /// Tells whether the golfer was forgotten.
    #[must_use]
    pub fn is_erased(&self) -> bool {
        self.removed && self.name == ERASED
    }

    /// Returns the age in whole years.
    #[must_use]
    pub fn age(&self, today: Date) -> Option<i16> {
        let born = self.born?;
        let had_birthday = (today.month(), today.day()) >= (born.month(), born.day());
        Some(today.year() - born.year() - i16::from(!had_birthday))
    }

    /// Tells whether a parent's or guardian's consent is needed and not there.
    #[must_use]
    pub fn lacks_consent(&self, today: Date) -> bool {
        self.consent.is_none() && self.is_a_child_on(today)
    }

    /// Tells whether a parent or guardian agreed for a child who is none any more: it is the golfer who is to be asked now.
    #[must_use]
    pub fn outgrew_consent(&self, today: Date) -> bool {
        let was_a_child = self.consent.as_ref().is_some_and(|consent| self.is_a_child_on(consent.day));
        was_a_child && !self.is_a_child_on(today)
    }

    /// Tells whether others agree for the golfer on a day.
    fn is_a_child_on(&self, day: Date) -> bool {
        self.age(day).is_some_and(|age| age < CONSENT_UNDER)
    }
}

/// Handedness by its words, as on the fitting card.
pub(crate) mod handedness {
    use fitting::Handedness;
    use serde::{Deserialize, Deserializer, Serializer, de::Error};

    pub(crate) fn serialize<S: Serializer>(plays: &Handedness, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(plays.words())
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Handedness, D::Error> {
        let word = String::deserialize(from)?;
        read(&word).ok_or_else(|| D::Error::custom("expected \"right-handed\" or \"left-handed\""))
    }

    pub(crate) fn read(word: &str) -> Option<Handedness> {
        [Handedness::Right, Handedness::Left].into_iter().find(|plays| plays.words() == word)
    }
}

/// Sex by its words; empty where not said.
pub(crate) mod sex {
    use fitting::Sex;
    use serde::{Deserialize, Deserializer, Serializer, de::Error};

    pub(crate) fn words(sex: Sex) -> &'static str {
        match sex {
            Sex::Man => "man",
            Sex::Woman => "woman",
            Sex::NotSaid => "",
        }
    }

    pub(crate) fn serialize<S: Serializer>(sex: &Sex, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(words(*sex))
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Sex, D::Error> {
        let word = String::deserialize(from)?;
        read(&word).ok_or_else(|| D::Error::custom("expected \"man\", \"woman\" or nothing"))
    }

    pub(crate) fn read(word: &str) -> Option<Sex> {
        [Sex::Man, Sex::Woman, Sex::NotSaid].into_iter().find(|sex| words(*sex) == word)
    }
}

impl GolferFile {
    /// Reads which side a golfer plays from by its words.
    #[must_use]
    pub fn plays_from(word: &str) -> Option<Handedness> {
        handedness::read(word)
    }

    /// Reads a sex by its word, nothing for not said.
    #[must_use]
    pub fn sex_from(word: &str) -> Option<Sex> {
        sex::read(word)
    }

    /// Names the sex; empty where not said.
    #[must_use]
    pub fn sex_word(&self) -> &'static str {
        sex::words(self.sex)
    }
}

#[cfg(test)]
mod tests {
    use super::{Consent, GolferFile};
    use crate::Id;
    use fitting::Handedness;
    use jiff::civil::{Date, date};

    fn born(day: Date, agreed: Option<Date>) -> GolferFile {
        let id = Id::parse("0198c0de-0000-7000-8000-000000000001").unwrap();
        let consent =
            agreed.map(|day| Consent { by: "a parent".to_owned(), day, how: "in person".to_owned() });
        GolferFile { born: Some(day), consent, ..GolferFile::new(id, "Ada", Handedness::Right).unwrap() }
    }

    /// Sixteen on 4 Nov 2026.
    #[test]
    fn at_sixteen_the_golfer_is_asked_who_was_agreed_for_before() {
        let (birthday, eve) = (date(2026, 11, 4), date(2026, 11, 3));
        let child = born(date(2010, 11, 4), Some(date(2024, 5, 1)));
        assert!(!child.lacks_consent(eve) && !child.outgrew_consent(eve));
        assert!(child.outgrew_consent(birthday) && !child.lacks_consent(birthday));
        // asked on the birthday it is theirs; asked on the eve it was still a parent's
        assert!(!born(date(2010, 11, 4), Some(birthday)).outgrew_consent(birthday));
        assert!(born(date(2010, 11, 4), Some(eve)).outgrew_consent(birthday));
        // who came later, or was never agreed for, is not asked
        assert!(!born(date(2010, 11, 4), None).outgrew_consent(birthday));
        assert!(!born(date(1979, 5, 2), Some(eve)).outgrew_consent(birthday));
    }
}
