//! Texts and values as a person types them into a page.
//!
//! A page takes more than a card: a decimal comma where it can be read only one way, vulgar fractions, curly
//! quotes, and a bare number in the unit the field shows. What is kept is a text every reader of cards takes.

use crate::StudioError;
use crate::field::{Field, Kind};
use crate::house::Units;
use ::club::{Condition, Construction, ShaftMaterial, Swingweight};
use quantity::{Angle, Frequency, InchStep, Length, Mass, QuantityError, Speed};
use unicode_normalization::UnicodeNormalization;

/// Longest short text, such as a name. Definition of what the tool takes.
const LONGEST_TEXT: usize = 120;

/// A value that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Typed {
    /// As it is kept: every card reader takes it.
    pub text: String,
    /// In SI units, where it is a quantity.
    pub value_si: Option<f64>,
    /// The same read back in the bench's units, both systems.
    pub read_back: String,
}

/// Tidies a short text: composed letters, no spaces around it; `None` when nothing is left.
///
/// # Errors
/// [`StudioError::BadText`] when it is too long or holds control signs.
pub fn plain_text(what: &'static str, text: &str) -> Result<Option<String>, StudioError> {
    let refuse = |found: String| {
        Err(StudioError::BadText {
            what,
            expected: format!("up to {LONGEST_TEXT} characters on one line"),
            found,
        })
    };
    // measured before anything is built from it, so that a huge text costs nothing
    if text.len() > LONGEST_TEXT * 8 {
        return refuse(format!("{} bytes", text.len()));
    }
    let tidy: String = text.trim().nfc().collect();
    let count = tidy.chars().count();
    if count > LONGEST_TEXT {
        return refuse(format!("{count} characters"));
    }
    if tidy
        .chars()
        .any(|sign| sign.is_control() || matches!(sign, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'))
    {
        return refuse("signs that cannot be shown".to_owned());
    }
    Ok((!tidy.is_empty()).then_some(tidy))
}

impl Field {
    /// Reads what was typed into this field; a bare number is in the unit the field shows.
    ///
    /// # Errors
    /// What was expected, what was found and what to do.
    pub fn read(self, typed: &str, units: Units) -> Result<Typed, StudioError> {
        let plain = plain_number(typed)?;
        let word = |found: Option<String>, expected: &str| {
            found.map(|text| Typed { read_back: text.clone(), text, value_si: None }).ok_or_else(|| {
                StudioError::BadValue {
                    message: format!("expected {expected}, found \"{}\"", shown(&plain)),
                    hint: None,
                }
            })
        };
        match self.kind() {
            Kind::Height => {
                let plain = with_unit(&plain, units.length_unit());
                let length = Length::parse(&plain).map_err(refused)?;
                Ok(quantity(plain, length.as_metres(), length.with_metric(InchStep::Sixteenth)))
            }
            Kind::Small => {
                let plain = with_unit(&plain, units.length_unit());
                let length = Length::parse(&plain).map_err(refused)?;
                let back = format!("{}, {}", length.decimal_inches(3), length.mm_printed(2));
                Ok(quantity(plain, length.as_metres(), back))
            }
            Kind::Mass => {
                let plain = with_unit(&plain, "g");
                let mass = Mass::parse(&plain).map_err(refused)?;
                Ok(quantity(plain, mass.as_kilograms(), mass.grams_printed(1).to_string()))
            }
            Kind::Angle => {
                let plain = with_unit(&plain, "deg");
                let angle = Angle::parse(&plain).map_err(refused)?;
                Ok(quantity(plain, angle.as_radians(), angle.degrees_printed(2).to_string()))
            }
            Kind::Frequency => {
                let plain = with_unit(&plain, "cpm");
                let frequency = Frequency::parse(&plain).map_err(refused)?;
                Ok(quantity(plain, frequency.as_hertz(), frequency.cpm_printed(0).to_string()))
            }
            Kind::Speed => {
                let plain = with_unit(&plain, "mph");
                let speed = Speed::parse(&plain).map_err(refused)?;
                Ok(quantity(plain, speed.as_metres_per_second(), speed.mph_printed(0).to_string()))
            }
            Kind::Swingweight => {
                let scale = Swingweight::parse(&plain).map_err(|error| StudioError::BadValue {
                    message: error.to_string(),
                    hint: error.hint(),
                })?;
                Ok(quantity(plain, scale.moment().as_kilogram_metres(), scale.to_string()))
            }
            Kind::Material => word(material(&plain), "steel or graphite"),
            Kind::Construction => word(
                Construction::from_words(&plain.to_lowercase()).map(|_| plain.to_lowercase()),
                "forged, cast, cast 431, cast 17-4, maraging, pocketed or titanium",
            ),
            Kind::Conditions => conditions(&plain),
        }
    }
}

impl Field {
    /// Shows a kept text without the unit its field has anyway, so that a narrow cell holds it: `60.5 deg` as `60.5`.
    #[must_use]
    pub fn bare(self, kept: &str, units: Units) -> String {
        let stripped = [" in", " mm", " g", " deg", "\u{b0}", " cpm", " mph"]
            .into_iter()
            .find_map(|unit| kept.strip_suffix(unit));
        let value = |text: &str| self.read(text, units).ok().and_then(|read| read.value_si);
        match stripped {
            Some(bare) if value(bare).is_some() && value(bare) == value(kept) => bare.to_owned(),
            _ => kept.to_owned(),
        }
    }
}

/// Reads a size of a part, up to a shaft's length; nothing where nothing was typed. A bare number is in the house's unit.
pub(crate) fn small_length(typed: &str, units: Units) -> Result<Option<Length>, StudioError> {
    let plain = plain_number(typed)?;
    if plain.is_empty() {
        return Ok(None);
    }
    let length = Length::parse(&with_unit(&plain, units.length_unit())).map_err(refused)?;
    if (0.0..=2.0).contains(&length.as_metres()) {
        Ok(Some(length))
    } else {
        Err(crate::check::bad("a size of 0 to 2 m", &plain))
    }
}

/// Reads the mass of a part; nothing where nothing was typed. A bare number is in grams.
pub(crate) fn small_mass(typed: &str) -> Result<Option<Mass>, StudioError> {
    let plain = plain_number(typed)?;
    if plain.is_empty() {
        return Ok(None);
    }
    let mass = Mass::parse(&with_unit(&plain, "g")).map_err(refused)?;
    if (0.0..=1.0).contains(&mass.as_kilograms()) {
        Ok(Some(mass))
    } else {
        Err(crate::check::bad("a mass of 0 to 1000 g", &plain))
    }
}

#[expect(clippy::needless_pass_by_value, reason = "for map_err")]
fn refused(error: QuantityError) -> StudioError {
    StudioError::BadValue { message: error.to_string(), hint: error.hint() }
}

fn quantity(text: String, value_si: f64, read_back: String) -> Typed {
    Typed { text, value_si: Some(value_si), read_back }
}

fn material(text: &str) -> Option<String> {
    let lower = text.to_lowercase();
    [ShaftMaterial::Steel, ShaftMaterial::Graphite]
        .into_iter()
        .map(|one| one.to_string())
        .find(|name| *name == lower)
}

/// Conditions, apart by commas; nothing at all says that a close look found nothing.
fn conditions(text: &str) -> Result<Typed, StudioError> {
    let words: Vec<&str> = text.split(',').map(str::trim).filter(|word| !word.is_empty()).collect();
    let mut found = Vec::new();
    for word in words {
        let condition = Condition::from_words(&word.to_lowercase()).ok_or_else(|| StudioError::BadValue {
            message: format!(
                "expected cracked, rusted, already extended or loose ferrule, found \"{}\"",
                shown(word)
            ),
            hint: None,
        })?;
        found.push(condition.to_string());
    }
    let text = found.join(", ");
    let read_back = if text.is_empty() { "nothing found".to_owned() } else { text.clone() };
    Ok(Typed { text, value_si: None, read_back })
}

fn shown(text: &str) -> String {
    text.chars().take(40).collect()
}

/// Makes of what was typed what every reader takes: one kind of space and quote, vulgar fractions written out, a
/// decimal comma that can be read one way as a point.
pub(crate) fn plain_number(typed: &str) -> Result<String, StudioError> {
    let tidy = plain_text("value", typed)?.unwrap_or_default();
    let mut plain = String::with_capacity(tidy.len() + 8);
    for sign in tidy.chars() {
        match sign {
            '\u{a0}' | '\u{202f}' | '\u{2009}' | '\t' => plain.push(' '),
            '\u{201c}' | '\u{201d}' | '\u{2033}' => plain.push('"'),
            '\u{2018}' | '\u{2019}' | '\u{2032}' => plain.push('\''),
            '\u{2044}' | '\u{2215}' => plain.push('/'),
            '\u{2212}' => plain.push('-'),
            vulgar => match vulgar_fraction(vulgar) {
                Some(fraction) => {
                    if plain.ends_with(|last: char| last.is_ascii_digit()) {
                        plain.push(' ');
                    }
                    plain.push_str(fraction);
                }
                None => plain.push(vulgar),
            },
        }
    }
    decimal_comma(&plain)
}

fn vulgar_fraction(sign: char) -> Option<&'static str> {
    Some(match sign {
        '½' => "1/2",
        '¼' => "1/4",
        '¾' => "3/4",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        _ => return None,
    })
}

/// One comma between digits with one or two digits behind it is a decimal comma; with three it may be thousands.
fn decimal_comma(text: &str) -> Result<String, StudioError> {
    let bytes = text.as_bytes();
    let commas: Vec<usize> = text.match_indices(',').map(|(at, _)| at).collect();
    let [comma] = commas.as_slice() else {
        return Ok(text.to_owned());
    };
    let before = *comma > 0 && bytes[comma - 1].is_ascii_digit();
    let behind = bytes[comma + 1..].iter().take_while(|byte| byte.is_ascii_digit()).count();
    if !before || behind == 0 || text.contains('.') {
        return Ok(text.to_owned());
    }
    // nobody writes thousands of nothing
    let whole = text[..*comma].rsplit(|sign: char| !sign.is_ascii_digit()).next();
    if behind == 3 && whole != Some("0") {
        let (whole, rest) = (&text[..*comma], &text[comma + 1..]);
        return Err(StudioError::BadValue {
            message: format!("\"{}\" can be read two ways", shown(text)),
            hint: Some(format!("Write {whole}{rest} for thousands, or {whole}.{rest} for a decimal.")),
        });
    }
    Ok(text.replace(',', "."))
}

/// Gives a bare number the unit its field shows, so that what is kept means the same whatever is set later.
pub(crate) fn with_unit(text: &str, unit: &str) -> String {
    let is_bare = text.ends_with(|sign: char| sign.is_ascii_digit())
        && text.chars().all(|sign| sign.is_ascii_digit() || matches!(sign, '.' | '-' | '+' | '/' | ' '));
    if is_bare { format!("{text} {unit}") } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::{Field, plain_text};
    use crate::Units;

    fn inches(typed: &str) -> f64 {
        let read = Field::KnuckleHeight
            .read(typed, Units::Inches)
            .unwrap_or_else(|error| panic!("{typed}: {error}"));
        // what is kept reads the same as what was typed
        let kept = quantity::Length::parse(&read.text).unwrap().as_metres();
        assert!((kept - read.value_si.unwrap()).abs() < 1e-12, "{typed}");
        read.value_si.unwrap() / 0.0254
    }

    #[test]
    fn a_page_takes_what_people_type() {
        for (typed, wanted) in [
            ("33", 33.0),
            ("33\"", 33.0),
            ("33 1/4\"", 33.25),
            ("33-1/4", 33.25),
            ("33¼", 33.25),
            ("33 1⁄4 in", 33.25),
            ("33.25in", 33.25),
            ("33,25 in", 33.25),
            ("  33\u{a0}1/4  in ", 33.25),
            ("33\u{201d}", 33.0),
            ("2 ft 9 1/4", 33.25),
            ("2\u{2019} 9\u{201d}", 33.0),
            ("½ in", 0.5),
            ("838,2 mm", 33.0),
            ("0,875 in", 0.875),
            ("84,5 cm", 845.0 / 25.4),
            ("845 mm", 845.0 / 25.4),
        ] {
            assert!((inches(typed) - wanted).abs() < 1e-9, "{typed}: {}", inches(typed));
        }
    }

    #[test]
    fn a_bare_number_takes_the_unit_the_field_shows() {
        let metric = |typed: &str| Field::KnuckleHeight.read(typed, Units::Metric).unwrap();
        assert!((metric("745").value_si.unwrap() - 0.745).abs() < 1e-12);
        assert_eq!(metric("745").text, "745 mm");
        assert!((metric("29 1/4 in").value_si.unwrap() - 0.742_95).abs() < 1e-9);
    }

    #[test]
    fn a_narrow_cell_shows_the_number_alone_where_that_reads_the_same() {
        assert_eq!(Field::Lie.bare("60.5 deg", Units::Inches), "60.5");
        assert_eq!(Field::ClubLength.bare("38 1/2 in", Units::Inches), "38 1/2");
        assert_eq!(Field::ClubLength.bare("990 mm", Units::Inches), "990 mm");
        assert_eq!(Field::ClubLength.bare("990 mm", Units::Metric), "990");
        assert_eq!(Field::ClubLength.bare("38 in", Units::Metric), "38 in");
        assert_eq!(Field::Swingweight.bare("D1", Units::Inches), "D1");
    }

    #[test]
    fn what_can_be_read_two_ways_is_refused_with_both() {
        let refused = Field::KnuckleHeight.read("1,234 mm", Units::Inches).unwrap_err();
        assert_eq!(refused.hint().unwrap(), "Write 1234 mm for thousands, or 1.234 mm for a decimal.");
        assert!(Field::KnuckleHeight.read("10,875 mm", Units::Inches).is_err());
        for typed in ["33 4/0", "33 1/4 1/8", "5-3 mm", "", "NaN", "1e400", "thirty"] {
            assert!(Field::KnuckleHeight.read(typed, Units::Inches).is_err(), "{typed}");
        }
    }

    #[test]
    fn a_text_is_tidied_and_signs_that_deceive_are_refused() {
        assert_eq!(plain_text("name", "  Łukasz  ").unwrap().unwrap(), "Łukasz");
        assert_eq!(plain_text("name", "e\u{301}").unwrap().unwrap(), "é");
        assert_eq!(plain_text("name", " \t ").unwrap(), None);
        assert!(plain_text("name", "a\u{0}b").is_err());
        assert!(plain_text("name", "a\u{202e}b").is_err());
        assert!(plain_text("name", &"x".repeat(5_000_000)).is_err());
    }

    #[test]
    fn words_are_taken_as_the_card_takes_them() {
        assert_eq!(Field::ShaftMaterial.read("Graphite", Units::Inches).unwrap().text, "graphite");
        assert_eq!(Field::Condition.read("rusted, Cracked", Units::Inches).unwrap().text, "rusted, cracked");
        assert_eq!(Field::Condition.read("", Units::Inches).unwrap().read_back, "nothing found");
        assert!(Field::Condition.read("bent", Units::Inches).is_err());
    }
}
