//! Days in words, in the language the house writes them in.

use jiff::civil::Date;

/// A language in which days are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DateLanguage {
    /// `3 Nov 2026`, as the rest of the text.
    #[default]
    English,
    /// `Nov 3, 2026`.
    American,
    /// `3. nov. 2026`.
    Danish,
    /// `3 nov 2026`.
    Dutch,
    /// `3 nov. 2026`.
    French,
    /// `3. Nov. 2026`.
    German,
    /// `3 nov 2026`.
    Italian,
    /// `3. nov. 2026`.
    Norwegian,
    /// `3 lis 2026`.
    Polish,
    /// `3 nov 2026`.
    Spanish,
    /// `3 nov. 2026`.
    Swedish,
}

impl DateLanguage {
    /// Every language, in the order in which they are offered.
    pub const ALL: [Self; 11] = [
        Self::English,
        Self::American,
        Self::Danish,
        Self::Dutch,
        Self::French,
        Self::German,
        Self::Italian,
        Self::Norwegian,
        Self::Polish,
        Self::Spanish,
        Self::Swedish,
    ];

    /// Names it, in itself.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::American => "American English",
            Self::Danish => "dansk",
            Self::Dutch => "Nederlands",
            Self::French => "français",
            Self::German => "Deutsch",
            Self::Italian => "italiano",
            Self::Norwegian => "norsk",
            Self::Polish => "polski",
            Self::Spanish => "español",
            Self::Swedish => "svenska",
        }
    }

    /// Reads the name again.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|language| language.word() == word)
    }

    /// Returns its tag. Standard: BCP 47.
    #[must_use]
    pub fn tag(self) -> &'static str {
        match self {
            Self::English => "en-GB",
            Self::American => "en-US",
            Self::Danish => "da",
            Self::Dutch => "nl",
            Self::French => "fr",
            Self::German => "de",
            Self::Italian => "it",
            Self::Norwegian => "nb",
            Self::Polish => "pl",
            Self::Spanish => "es",
            Self::Swedish => "sv",
        }
    }

    /// Returns the short names of the months. Standard: Unicode CLDR, but for the `Sep` of our English.
    #[must_use]
    pub fn months(self) -> [&'static str; 12] {
        match self {
            Self::English => {
                ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
            }
            Self::American => {
                ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
            }
            Self::Danish => [
                "jan.", "feb.", "mar.", "apr.", "maj", "jun.", "jul.", "aug.", "sep.", "okt.", "nov.", "dec.",
            ],
            Self::Dutch => {
                ["jan", "feb", "mrt", "apr", "mei", "jun", "jul", "aug", "sep", "okt", "nov", "dec"]
            }
            Self::French => [
                "janv.", "févr.", "mars", "avr.", "mai", "juin", "juil.", "août", "sept.", "oct.", "nov.",
                "déc.",
            ],
            Self::German => [
                "Jan.", "Feb.", "März", "Apr.", "Mai", "Juni", "Juli", "Aug.", "Sept.", "Okt.", "Nov.",
                "Dez.",
            ],
            Self::Italian => {
                ["gen", "feb", "mar", "apr", "mag", "giu", "lug", "ago", "set", "ott", "nov", "dic"]
            }
            Self::Norwegian => [
                "jan.", "feb.", "mars", "apr.", "mai", "juni", "juli", "aug.", "sep.", "okt.", "nov.", "des.",
            ],
            Self::Polish => {
                ["sty", "lut", "mar", "kwi", "maj", "cze", "lip", "sie", "wrz", "paź", "lis", "gru"]
            }
            Self::Spanish => {
                ["ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sept", "oct", "nov", "dic"]
            }
            Self::Swedish => [
                "jan.", "feb.", "mars", "apr.", "maj", "juni", "juli", "aug.", "sep.", "okt.", "nov.", "dec.",
            ],
        }
    }

    /// Writes a day: `3 Nov 2026`.
    #[must_use]
    pub fn day(self, day: Date) -> String {
        let month = usize::try_from(day.month() - 1).ok().and_then(|month| self.months().get(month).copied());
        let (date, month, year) = (day.day(), month.unwrap_or_default(), day.year());
        match self {
            Self::American => format!("{month} {date}, {year}"),
            Self::Danish | Self::German | Self::Norwegian => format!("{date}. {month} {year}"),
            Self::English
            | Self::Dutch
            | Self::French
            | Self::Italian
            | Self::Polish
            | Self::Spanish
            | Self::Swedish => format!("{date} {month} {year}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::DateLanguage;
    use jiff::civil::date;

    #[test]
    fn a_language_is_found_by_its_own_name() {
        for language in DateLanguage::ALL {
            assert_eq!(DateLanguage::from_word(language.word()), Some(language));
        }
        assert_eq!(DateLanguage::default().day(date(2026, 9, 3)), "3 Sep 2026");
    }
}
