//! The house: the shop's own limits and habits, each kept as it was typed over the usual one.
//!
//! Every default is common practice without a source (see the bench's house); the owner sets them.

use crate::{Id, LearntRule, StudioError, plain_text};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sheet::DateLanguage;
use std::collections::BTreeMap;

/// In which system a bare number is read, and which is shown first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Inches and their fractions, the bench's own.
    #[default]
    Inches,
    /// Millimetres.
    Metric,
}

impl Units {
    /// Names them as the setting does.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Inches => "inches",
            Self::Metric => "metric",
        }
    }

    /// Returns the unit of a bare length.
    #[must_use]
    pub fn length_unit(self) -> &'static str {
        match self {
            Self::Inches => "in",
            Self::Metric => "mm",
        }
    }

    /// Reads the word again.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Inches, Self::Metric].into_iter().find(|units| units.word() == word)
    }
}

/// Where a setting acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Pages and sheets.
    Studio,
    /// The `[house]` of a fitting card.
    Card,
}

/// A setting: its key, what it is and what it changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Setting {
    /// Its key; on a card the same.
    pub key: &'static str,
    /// Where it acts.
    pub part: Part,
    /// The group it is shown in.
    pub group: &'static str,
    /// Names it.
    pub label: &'static str,
    /// What changes where.
    pub changes: &'static str,
    /// The usual value, as it would be typed.
    pub usual: &'static str,
    /// The words it can have; empty where anything can be typed.
    pub options: &'static [&'static str],
}

impl Setting {
    const fn one_of(self, options: &'static [&'static str]) -> Self {
        Self { options, ..self }
    }
}

const fn card(
    group: &'static str,
    key: &'static str,
    label: &'static str,
    usual: &'static str,
    changes: &'static str,
) -> Setting {
    Setting { key, part: Part::Card, group, label, changes, usual, options: &[] }
}

const fn studio(
    group: &'static str,
    key: &'static str,
    label: &'static str,
    usual: &'static str,
    changes: &'static str,
) -> Setting {
    Setting { key, part: Part::Studio, group, label, changes, usual, options: &[] }
}

/// Every setting, in the order in which they are shown.
pub const SETTINGS: &[Setting] = &[
    studio("Studio", "name", "Name of the studio", "", "Stands at the head of every sheet."),
    studio("Studio", "address", "Address and telephone", "", "Stands under the name on every sheet."),
    studio(
        "Studio",
        "fitter",
        "Who works here",
        "the fitter",
        "Stands beside every reading and tick as the one who made it.",
    ),
    studio("Studio", "units", "Units", "inches", "How a bare number in a length field is read.")
        .one_of(&["inches", "metric"]),
    studio("Studio", "dates", "Language of dates", "English", "How days are written on pages and sheets.")
        .one_of(&[
            "English",
            "American English",
            "dansk",
            "Nederlands",
            "français",
            "Deutsch",
            "italiano",
            "norsk",
            "polski",
            "español",
            "svenska",
        ]),
    studio(
        "Studio",
        "follow_up_after",
        "Follow-up after",
        "28 days",
        "The day proposed at hand-over to see the golfer again.",
    ),
    card("Lengths", "round_to", "Build to", "1/8 in", "Targets and job sheets.")
        .one_of(&["1/4 in", "1/8 in", "1/16 in"]),
    card("Lengths", "leave_within", "Leave within", "1/8 in", "A club this near its target is left alone."),
    card("Lengths", "iron_step", "Step of the irons", "1/2 in", "From one iron to the next."),
    card("Lengths", "first_wedge_step", "Step to the pitching wedge", "1/2 in", "Under the nine-iron."),
    card("Lengths", "wedge_step", "Step of further wedges", "1/4 in", "Under the pitching wedge."),
    card(
        "Lengths",
        "spread",
        "The rule's own spread",
        "0.35 in",
        "How far golfers stray from the rule: most of the interval. An assumption until your own follow-ups say.",
    ),
    card("Extending", "plain_extension", "Extend without a word", "1/2 in", "Up to here nothing is said."),
    card(
        "Extending",
        "caution_extension",
        "Extend with a caution",
        "1 in",
        "Up to here with a caution, beyond only with written acceptance.",
    ),
    card(
        "Extending",
        "most_extension",
        "Extend at most",
        "2 in",
        "Beyond this another shaft. Never more than 2 in.",
    ),
    card(
        "Extending",
        "least_steel_shaft",
        "Lightest steel shaft to extend",
        "90 g",
        "Lighter ones have butts too thin for a plug.",
    ),
    card(
        "Extending",
        "least_graphite_shaft",
        "Lightest graphite shaft to extend",
        "60 g",
        "Lighter ones have butts too thin for a plug.",
    ),
    card("Extending", "cure_hours", "Glue cures", "24", "Hours at 20 °C before a club is gripped or hit."),
    card("Cutting and gripping", "plain_cut", "Cut without a word", "1 in", "Up to here nothing is said."),
    card("Cutting and gripping", "most_cut", "Cut at most", "3 in", "Beyond this another club."),
    card(
        "Cutting and gripping",
        "most_grip_down",
        "Grip down at most",
        "1 in",
        "Beyond this the grip is too thin.",
    ),
    card(
        "Cutting and gripping",
        "cap",
        "Cap of a grip",
        "1/8 in",
        "Counts into the length and comes off before the saw.",
    ),
    card(
        "Cutting and gripping",
        "new_grip_mass",
        "A new grip weighs",
        "",
        "Nothing here: a grip like the old one.",
    ),
    card("Holding a number", "hold", "Hold", "swingweight", "What is brought back after a change of length.")
        .one_of(&["swingweight", "inertia", "neither"]),
    card(
        "Holding a number",
        "tip_weights",
        "Tip weights on the shelf",
        "2 g, 4 g, 6 g, 8 g, 9 g, 10 g",
        "What can be put into a tip.",
    ),
    card(
        "Holding a number",
        "tapes",
        "An inch of tape weighs",
        "0.45 g, 1.0 g",
        "Each tape on the shelf; weigh yours.",
    ),
    card("Holding a number", "most_tape", "Tape at most", "8 in", "Beyond this a weight is neater."),
    card(
        "Holding a number",
        "butt_weights",
        "Butt weights on the shelf",
        "4 g, 6 g, 8 g, 10 g, 15 g, 20 g, 30 g",
        "What can be put into a butt.",
    ),
    card("Holding a number", "butt_weight_at", "A butt weight sits", "1 in", "Down from the grip end."),
    card("Holding a number", "most_butt_weight", "Butt weight at most", "20 g", "More is dead mass."),
    card("Bending", "bend.forged", "Bend a forged head", "4 deg", "At most, from the maker's figure."),
    card("Bending", "bend.cast_431", "Bend a head cast of 431", "2 deg", "At most, from the maker's figure."),
    card("Bending", "bend.cast", "Bend another cast head", "1 deg", "At most, from the maker's figure."),
    studio("Prices", "currency", "Currency", "", "Stands before every amount of a quote."),
    studio("Prices", "price.extend", "Extending a club", "", "Labour for one club, tape and glue with it."),
    studio("Prices", "price.cut", "Cutting a club", "", "Labour for one club, tape and glue with it."),
    studio("Prices", "price.other_shaft", "Another shaft", "", "Labour for one club, glue with it."),
    studio("Prices", "price.regrip", "A new grip", "", "Labour for one club, tape with it."),
    studio("Prices", "price.grip_down", "Gripping down", "0", "A mark on the grip; often no charge."),
    studio("Prices", "price.plug", "A plug", "", "One piece."),
    studio("Prices", "price.grip", "A grip", "", "One piece."),
    studio("Prices", "price.shaft", "A shaft", "", "One piece."),
    studio("Prices", "price.ferrule", "A ferrule", "", "One piece."),
    studio("Prices", "price.weight", "A tip or butt weight", "", "One piece; tape goes with the labour."),
    studio(
        "Prices",
        "price.minimum",
        "Least for a job",
        "0",
        "What a smaller job is brought up to, before tax.",
    ),
    studio("Prices", "price.set_discount", "Discount for a set", "", "Such as 10 % from 8 clubs."),
    studio("Prices", "price.rush", "Work before its turn", "0 %", "Put on labour and parts."),
    studio(
        "Prices",
        "price.tax",
        "Tax",
        "0 %",
        "Put on the sum; your own law says how much, and whether at all.",
    ),
    studio("Prices", "price.deposit", "Deposit", "0 %", "Share of the total that is paid with the yes."),
    studio("Prices", "price.valid", "A quote holds", "30 days", "From the day it is made."),
];

/// The settings as the owner typed them; what is not there is as usual.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HouseSettings {
    /// Always [`HouseSettings::id`].
    pub id: Id,
    /// Key to typed value.
    pub values: BTreeMap<String, String>,
    /// How the columns of spreadsheets were matched, by the shape of their header row.
    #[serde(default)]
    pub matchings: BTreeMap<String, Vec<String>>,
    /// What the studio's own trials say of the length rule, where the owner wants new trials to start from it.
    #[serde(default)]
    pub learnt_rule: Option<LearntRule>,
    /// Never taken back; a setting that is emptied is as usual again.
    #[serde(default)]
    pub removed: bool,
}

impl HouseSettings {
    /// Most kinds of spreadsheet whose columns are remembered. Definition of what the tool keeps.
    pub const MOST_MATCHINGS: usize = 200;
    /// Most columns of a table. Definition of what the tool takes.
    pub const MOST_COLUMNS: usize = 200;

    /// The one id there is of them.
    #[must_use]
    pub fn fixed_id() -> Id {
        Id::of_bytes([0, 0, 0, 0, 0, 0, 0x70, 0, 0x80, 0, 0, 0, 0, 0, 0, 1])
    }

    /// A house with the usual settings.
    #[must_use]
    pub fn usual() -> Self {
        Self {
            id: Self::fixed_id(),
            values: BTreeMap::new(),
            matchings: BTreeMap::new(),
            learnt_rule: None,
            removed: false,
        }
    }

    /// Finds a setting by its key.
    #[must_use]
    pub fn setting(key: &str) -> Option<&'static Setting> {
        SETTINGS.iter().find(|setting| setting.key == key)
    }

    /// Returns what was typed, or the usual.
    #[must_use]
    pub fn value(&self, key: &str) -> &str {
        let usual = || Self::setting(key).map_or("", |setting| setting.usual);
        self.values.get(key).map_or_else(usual, String::as_str)
    }

    /// Returns how bare numbers are read.
    #[must_use]
    pub fn units(&self) -> Units {
        if self.value("units") == "metric" { Units::Metric } else { Units::Inches }
    }

    /// Returns the language days are written in.
    #[must_use]
    pub fn dates(&self) -> DateLanguage {
        DateLanguage::from_word(self.value("dates")).unwrap_or_default()
    }

    /// Returns how many days after hand-over a golfer is seen again.
    #[must_use]
    pub fn follow_up_days(&self) -> i32 {
        days(self.value("follow_up_after")).unwrap_or(28)
    }

    /// Sets a value; nothing typed makes it as usual again.
    ///
    /// # Errors
    /// What was expected and found: an unknown key, or a value the house cannot have.
    pub fn with(&self, key: &str, typed: &str) -> Result<Self, StudioError> {
        let setting = Self::setting(key).ok_or_else(|| StudioError::BadValue {
            message: format!(
                "expected a setting of the house, found \"{}\"",
                key.chars().take(40).collect::<String>()
            ),
            hint: None,
        })?;
        let mut changed = self.clone();
        match plain_text("setting", typed)? {
            Some(value) => {
                let is_no_option = !setting.options.is_empty() && !setting.options.contains(&value.as_str());
                // what the bench takes in other words it judges itself
                if is_no_option && setting.part == Part::Studio {
                    return Err(refused(&one_of(setting.options), &value));
                }
                if key == "follow_up_after" && days(&value).is_none() {
                    return Err(refused("1 to 365 days", &value));
                }
                if key.starts_with("price.") {
                    crate::quote::check_price(key, &value)?;
                }
                changed.values.insert(key.to_owned(), value);
            }
            None => {
                changed.values.remove(key);
            }
        }
        if setting.part == Part::Card {
            changed.check()?;
        }
        Ok(changed)
    }

    /// Reads the house as the bench takes it.
    ///
    /// # Errors
    /// The first setting it cannot have.
    pub fn check(&self) -> Result<bench::House, StudioError> {
        let probe = crate::CardText::of_house(self);
        let refuse = |problems: Vec<card::CardProblem>| {
            let problem = problems.into_iter().next();
            StudioError::BadValue {
                message: problem.as_ref().map_or_else(String::new, |problem| problem.message.clone()),
                hint: problem.and_then(|problem| problem.hint),
            }
        };
        let card = probe.read(jiff::civil::date(2000, 1, 1)).map_err(refuse)?;
        card.plan().map_err(refuse)?;
        Ok(card.house)
    }
}

fn refused(expected: &str, found: &str) -> StudioError {
    StudioError::BadValue { message: format!("expected {expected}, found \"{found}\""), hint: None }
}

/// Lists words as a person would: `"a", "b" or "c"`.
fn one_of(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
    match quoted.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{} or {last}", others.join(", ")),
        None => String::new(),
    }
}

pub(crate) fn days(text: &str) -> Option<i32> {
    let number = text.trim().trim_end_matches("days").trim_end_matches("day").trim();
    number.parse().ok().filter(|days| (1..=365).contains(days))
}

#[cfg(test)]
mod tests {
    use super::{HouseSettings, SETTINGS};

    #[test]
    fn the_usual_settings_are_the_benchs_defaults() {
        assert_eq!(HouseSettings::usual().check().unwrap(), bench::House::default());
        let mut spelt_out = HouseSettings::usual();
        for setting in SETTINGS.iter().filter(|setting| !setting.usual.is_empty()) {
            spelt_out.values.insert(setting.key.to_owned(), setting.usual.to_owned());
        }
        assert_eq!(spelt_out.check().unwrap(), bench::House::default());
    }

    #[test]
    fn every_language_of_dates_is_offered() {
        let offered = HouseSettings::setting("dates").unwrap().options;
        assert_eq!(offered, sheet::DateLanguage::ALL.map(sheet::DateLanguage::word));
        let german = HouseSettings::usual().with("dates", "Deutsch").unwrap();
        assert_eq!(german.dates(), sheet::DateLanguage::German);
        assert!(HouseSettings::usual().with("dates", "Klingon").is_err());
    }

    #[test]
    fn a_setting_the_house_cannot_have_is_refused_and_nothing_changes() {
        let house = HouseSettings::usual();
        for (key, typed) in [
            ("round_to", "1/3 in"),
            ("plain_extension", "3 in"),
            ("hold", "balance"),
            ("cure_hours", "soon"),
            ("units", "cubits"),
            ("follow_up_after", "never"),
            ("no_such", "1"),
            ("tapes", "0 g"),
        ] {
            assert!(house.with(key, typed).is_err(), "{key} = {typed}");
        }
        let changed = house.with("round_to", "1/16 in").unwrap();
        assert_eq!(changed.check().unwrap().round_to, quantity::InchStep::Sixteenth);
        assert_eq!(changed.with("round_to", " ").unwrap(), house);
    }
}
