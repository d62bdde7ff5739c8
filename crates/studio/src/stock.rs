//! The parts on the shelf: what they are, and what went on and off it.
//!
//! How many there are is never written down: it is the sum of what came and went, so that two who book at the same
//! moment cannot lose each other's, and what is undone is undone exactly.

use crate::check::bad;
use crate::typed::{small_length, small_mass};
use crate::{Id, Money, StudioError, Units, part_words, plain_text};
use bench::PartKind;
use quantity::{InchStep, Length, Mass};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Most of one part that come or go at once. Definition of what the tool takes.
pub const MOST_AT_ONCE: i64 = 100_000;
/// Heaviest piece that is weighed, milligrams: a shaft. Definition of what the tool takes.
pub(crate) const HEAVIEST_PIECE_MG: i64 = 1_000_000;

/// A kind of part the shelf keeps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StockedPart {
    /// Its id.
    pub id: Id,
    /// What it is; `what` in records, whose own kind stands beside it.
    #[serde(rename = "what", with = "part_words")]
    #[schemars(with = "String")]
    pub kind: PartKind,
    /// What the house calls it.
    pub name: String,
    /// The diameter that decides, metres: outside of the butt it is for (plug, shaft), core (grip).
    #[serde(default)]
    pub diameter_m: Option<f64>,
    /// Its length, metres; raw for a shaft.
    #[serde(default)]
    pub length_m: Option<f64>,
    /// What one weighs, kilograms; an inch of it for a tape.
    #[serde(default)]
    pub mass_kg: Option<f64>,
    /// What one costs the house.
    #[serde(default)]
    pub cost: Option<Money>,
    /// To be ordered when no more than this are free; never where 0.
    #[serde(default)]
    pub low_at: u32,
    /// Where it lies, or what to remember.
    #[serde(default)]
    pub note: Option<String>,
    /// Taken off the shelf for good.
    #[serde(default)]
    pub removed: bool,
}

impl StockedPart {
    /// Says its sizes in a line: `0.600 in, 50.0 g`.
    #[must_use]
    pub fn sizes(&self) -> String {
        let diameter = self.diameter_m.map(|metres| Length::metres(metres).decimal_inches(3).to_string());
        let length =
            self.length_m.map(|metres| format!("{} long", Length::metres(metres).to_step(InchStep::Eighth)));
        let each = if self.kind == PartKind::HeadTape { " an inch" } else { "" };
        let mass = self.mass_kg.map(|mass| format!("{}{each}", grams(mass)));
        [diameter, length, mass].into_iter().flatten().collect::<Vec<_>>().join(", ")
    }

    /// What the shelf counts it in.
    #[must_use]
    pub const fn counted_in(&self) -> &'static str {
        match self.kind {
            PartKind::HeadTape => "in",
            _ => "",
        }
    }
}

/// A mass with the digits it has, up to a hundredth of a gram: `50 g`, `4.05 g`.
fn grams(kilograms: f64) -> String {
    let grams = Mass::kilograms(kilograms);
    let digits = (0..2_i32).find(|digits| {
        let steps = grams.as_grams() * 10_f64.powi(*digits);
        (steps - steps.round()).abs() < 0.1 * 10_f64.powi(digits - 2)
    });
    grams.grams_printed(usize::try_from(digits.unwrap_or(2)).unwrap_or(2)).to_string()
}

macro_rules! reasons {
    ($($name:ident $words:literal $doc:literal)+) => {
        /// Why parts came or went.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
        pub enum StockWhy {
            $(
                #[doc = $doc]
                #[serde(rename = $words)]
                $name,
            )+
        }

        impl StockWhy {
            /// Every reason.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// Names it.
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $(Self::$name => $words,)+ }
            }

            /// Finds a reason by its words.
            #[must_use]
            pub fn from_words(words: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|why| why.words() == words)
            }
        }
    };
}

reasons! {
    Came "came" "Bought, or found."
    Counted "counted" "The shelf was counted, and there were more or fewer."
    Weighed "weighed" "Pieces were weighed and are kept apart from those that were not."
    Used "used" "Used up at a step of a job."
    NotUsed "not used" "The step was not done after all."
}

/// Parts that came or went.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StockMove {
    /// Its id.
    pub id: Id,
    /// The part.
    pub part: Id,
    /// How many came; negative when they went.
    pub count: i64,
    /// What each of them weighs, milligrams, where they were weighed.
    #[serde(default)]
    pub piece_mg: Option<i64>,
    /// Why.
    pub why: StockWhy,
    /// The job that used them.
    #[serde(default)]
    pub job: Option<Id>,
    /// The step of that job.
    #[serde(default)]
    pub step: Option<String>,
    /// Who did it.
    pub by: String,
    /// When, milliseconds UTC.
    pub at_ms: i64,
    /// Taken back.
    #[serde(default)]
    pub removed: bool,
}

/// The shelf as it is kept: its parts and all that came and went.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ShelfRecords {
    /// The parts.
    pub parts: Vec<StockedPart>,
    /// What came and went.
    pub moves: Vec<StockMove>,
}

/// A part of the shelf a job takes, and when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartUse {
    /// The part.
    pub part: Id,
    /// How many.
    pub count: u32,
    /// The step at which they are used up.
    pub step: String,
    /// The weighed piece it is to be, milligrams.
    #[serde(default)]
    pub piece_mg: Option<i64>,
}

/// A part as it is typed into a form or stands in a row of a table.
#[derive(Debug, Clone, Default)]
pub struct TypedPart<'a> {
    /// The kind's word.
    pub kind: &'a str,
    /// What the house calls it.
    pub name: &'a str,
    /// The diameter.
    pub diameter: &'a str,
    /// The length.
    pub length: &'a str,
    /// The mass of one.
    pub mass: &'a str,
    /// What one costs.
    pub cost: &'a str,
    /// When it is low.
    pub low_at: &'a str,
    /// Where it lies.
    pub note: &'a str,
}

impl TypedPart<'_> {
    /// Reads it; a bare length is in the unit of the house, a bare mass in grams.
    ///
    /// # Errors
    /// Everything that cannot be read, each with the name of its field.
    pub fn read(&self, id: Id, units: Units) -> Result<StockedPart, Vec<(&'static str, StudioError)>> {
        let mut problems = Vec::new();
        let kind = noted(&mut problems, "kind", kind_of(self.kind));
        let name = plain_text("name", self.name)
            .and_then(|name| name.ok_or_else(|| bad("what the house calls it", "nothing")));
        let name = noted(&mut problems, "name", name);
        let diameter = noted(&mut problems, "diameter", small_length(self.diameter, units)).flatten();
        let length = noted(&mut problems, "length", small_length(self.length, units)).flatten();
        let mass = noted(&mut problems, "mass", small_mass(self.mass)).flatten();
        let cost = Some(self.cost.trim()).filter(|text| !text.is_empty()).map(Money::parse).transpose();
        let cost = noted(&mut problems, "cost", cost).flatten();
        let low_at = noted(&mut problems, "low at", count(self.low_at)).flatten();
        let note = noted(&mut problems, "note", plain_text("note", self.note)).flatten();
        match (kind, name) {
            (Some(kind), Some(name)) if problems.is_empty() => Ok(StockedPart {
                id,
                kind,
                name,
                diameter_m: diameter.map(Length::as_metres),
                length_m: length.map(Length::as_metres),
                mass_kg: mass.map(Mass::as_kilograms),
                cost,
                low_at: low_at.and_then(|low_at| u32::try_from(low_at).ok()).unwrap_or(0),
                note,
                removed: false,
            }),
            _ => Err(problems),
        }
    }
}

/// Keeps what was wrong with a field, and goes on.
fn noted<T>(
    problems: &mut Vec<(&'static str, StudioError)>,
    field: &'static str,
    read: Result<T, StudioError>,
) -> Option<T> {
    read.map_err(|error| problems.push((field, error))).ok()
}

fn kind_of(word: &str) -> Result<PartKind, StudioError> {
    PartKind::from_words(&word.trim().to_lowercase()).ok_or_else(|| {
        let known: Vec<&str> = PartKind::ALL.iter().map(|kind| kind.words()).collect();
        bad(&known.join(", "), word.trim())
    })
}

/// Reads a count; nothing where nothing was typed.
///
/// # Errors
/// What was expected and found.
pub fn count(typed: &str) -> Result<Option<i64>, StudioError> {
    let typed = typed.trim();
    if typed.is_empty() {
        return Ok(None);
    }
    match typed.parse::<i64>() {
        Ok(count) if (0..=MOST_AT_ONCE).contains(&count) => Ok(Some(count)),
        _ => Err(bad(&format!("a whole number from 0 to {MOST_AT_ONCE}"), typed)),
    }
}

/// Reads the masses of weighed pieces, `7.8 8.1 8,05 g`: in milligrams.
///
/// # Errors
/// What was expected and found.
pub fn pieces_mg(typed: &str) -> Result<Vec<i64>, StudioError> {
    let words = typed.split([' ', ';', '\n', '\t']).map(str::trim);
    words
        .filter(|word| !word.is_empty() && !word.eq_ignore_ascii_case("g"))
        .map(|word| {
            let mass = small_mass(word)?.map_or(0.0, |mass| mass.as_grams() * 1000.0).round();
            #[expect(clippy::cast_possible_truncation, reason = "held against the heaviest first")]
            if (1.0..=HEAVIEST_PIECE_MG as f64).contains(&mass) {
                Ok(mass as i64)
            } else {
                Err(bad("a mass up to 1000 g", word))
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{TypedPart, count, pieces_mg};
    use crate::{Id, Units};
    use bench::PartKind;

    fn id() -> Id {
        Id::parse("01938a6e-1b2c-7def-8123-456789000001").unwrap()
    }

    #[test]
    fn a_part_is_read_as_typed_and_everything_wrong_is_said_at_once() {
        let typed = TypedPart {
            kind: "Grip",
            name: " Round, standard ",
            diameter: "0,600 in",
            mass: "50",
            cost: "6.5",
            low_at: "3",
            ..TypedPart::default()
        };
        let part = typed.read(id(), Units::Metric).unwrap();
        assert_eq!((part.kind, part.name.as_str()), (PartKind::Grip, "Round, standard"));
        assert!((part.diameter_m.unwrap() - 0.015_24).abs() < 1e-12);
        assert!((part.mass_kg.unwrap() - 0.05).abs() < 1e-12);
        assert_eq!((part.cost.unwrap().as_cents(), part.low_at), (650, 3));
        assert_eq!(part.sizes(), "0.600 in, 50 g");
        assert_eq!([0.0045, 0.00405, 0.000_45].map(super::grams), ["4.5 g", "4.05 g", "0.45 g"]);
        let wrong = TypedPart {
            kind: "hammer",
            diameter: "NaN",
            mass: "-4 g",
            cost: "free",
            low_at: "some",
            ..TypedPart::default()
        };
        let fields: Vec<&str> =
            wrong.read(id(), Units::Inches).unwrap_err().into_iter().map(|(field, _)| field).collect();
        assert_eq!(fields, ["kind", "name", "diameter", "mass", "cost", "low at"]);
    }

    #[test]
    fn counts_and_pieces_are_read_and_hostile_ones_refused() {
        assert_eq!(count(" 12 ").unwrap(), Some(12));
        assert_eq!(count("").unwrap(), None);
        for typed in ["-1", "1.5", "100001", "99999999999999999999", "NaN"] {
            assert!(count(typed).is_err(), "{typed}");
        }
        assert_eq!(pieces_mg("7.8 8,05 g; 8.1").unwrap(), [7800, 8050, 8100]);
        for typed in ["0", "1001", "heavy", "1e9"] {
            assert!(pieces_mg(typed).is_err(), "{typed}");
        }
    }
}
