//! Reading what people type: `33`, `33"`, `33-1/4 in`, `5 ft 10 1/2 in`, `845 mm`.
//!
//! One grammar serves every quantity: an optional sign, a number, a unit. Lengths also take feet
//! before inches and a proper fraction of an inch. What can be read two ways is refused with the
//! spelling that can be read one way: a decimal comma, a fraction of a millimetre, `5-3 mm`.

use crate::{Printed, QuantityError};

/// A unit: its spellings (squeezed, lower case) and its size, `times / over` SI units.
pub(crate) struct Unit {
    pub(crate) spellings: &'static [&'static str],
    pub(crate) times: f64,
    pub(crate) over: f64,
}

/// How one quantity may be typed.
pub(crate) struct Grammar {
    pub(crate) expected: &'static str,
    pub(crate) known: &'static str,
    pub(crate) units: &'static [Unit],
    pub(crate) takes_feet_and_fractions: bool,
    pub(crate) least_si: f64,
    pub(crate) most_si: f64,
}

/// Longer than any quantity a person types.
const LONGEST: usize = 64;

impl Grammar {
    /// Refuses a value that is not finite or beyond the quantity's own limits.
    pub(crate) fn check(&self, si: f64, value: f64, unit: &'static str) -> Result<f64, QuantityError> {
        if !si.is_finite() {
            return Err(QuantityError::NotFinite { found: format!("{value}") });
        }
        if si < self.least_si || si > self.most_si {
            let per_unit = if value == 0.0 { 1.0 } else { si / value };
            let show = |bound: f64| Printed::new(bound / per_unit, 0, unit).to_string();
            return Err(QuantityError::Absurd {
                found: format!("{value} {unit}"),
                least: show(self.least_si),
                most: show(self.most_si),
            });
        }
        Ok(si)
    }

    fn unit(&self, spelling: &str) -> Option<&'static Unit> {
        self.units.iter().find(|unit| unit.spellings.contains(&spelling))
    }
}

/// Reads `text` by `grammar` and returns the value in SI units.
pub(crate) fn parse(text: &str, grammar: &Grammar) -> Result<f64, QuantityError> {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(QuantityError::Empty { expected: grammar.expected });
    }
    let characters = trimmed.chars().count();
    if characters > LONGEST {
        return Err(QuantityError::TooLong { expected: grammar.expected, characters });
    }
    refuse_comma(trimmed)?;
    let plain = plain_signs(trimmed);
    let mut scan = Scan { typed: trimmed, rest: &plain, grammar };
    let sign = scan.sign();
    let si = if grammar.takes_feet_and_fractions { scan.length()? } else { scan.number_and_unit()? };
    grammar.check(sign * si, sign * si, "in SI units").map_err(|error| match error {
        QuantityError::Absurd { .. } => absurd(trimmed, grammar),
        other => other,
    })
}

/// The limits of a quantity, shown in its first unit.
fn absurd(typed: &str, grammar: &Grammar) -> QuantityError {
    let unit = &grammar.units[0];
    let show = |si: f64| Printed::new(si * unit.over / unit.times, 0, unit.spellings[1]).to_string();
    QuantityError::Absurd {
        found: format!("\"{typed}\""),
        least: show(grammar.least_si),
        most: show(grammar.most_si),
    }
}

fn refuse_comma(typed: &str) -> Result<(), QuantityError> {
    if !typed.contains(',') {
        return Ok(());
    }
    Err(QuantityError::DecimalComma { found: typed.to_owned(), suggestion: typed.replacen(',', ".", 1) })
}

/// Replaces the signs a keyboard, a tablet or a spreadsheet puts in place of the plain ones.
fn plain_signs(typed: &str) -> String {
    let mut plain = String::with_capacity(typed.len());
    for sign in typed.chars() {
        match sign {
            '\u{a0}' | '\u{2009}' | '\u{202f}' | '\t' => plain.push(' '),
            '\u{2212}' | '\u{2010}' | '\u{2011}' | '\u{2013}' => plain.push('-'),
            '″' | '”' | '“' => plain.push('"'),
            '′' | '’' | '‘' => plain.push('\''),
            '\u{2044}' => plain.push('/'),
            '½' => plain.push_str(" 1/2"),
            '¼' => plain.push_str(" 1/4"),
            '¾' => plain.push_str(" 3/4"),
            '⅛' => plain.push_str(" 1/8"),
            '⅜' => plain.push_str(" 3/8"),
            '⅝' => plain.push_str(" 5/8"),
            '⅞' => plain.push_str(" 7/8"),
            other => plain.extend(other.to_lowercase()),
        }
    }
    let plain = plain.replace("''", "\"");
    match plain.strip_prefix(['+', '-']) {
        Some(unsigned) => format!("{}{}", &plain[..1], unsigned.trim_start()),
        None => plain.trim_start().to_owned(),
    }
}

fn is_foot(unit: &str) -> bool {
    matches!(unit, "ft" | "foot" | "feet" | "'" | "ft.")
}

fn is_inch(unit: &str) -> bool {
    matches!(unit, "" | "in" | "ins" | "inch" | "inches" | "\"" | "in.")
}

/// A number as typed, and whether a fraction was part of it.
struct Amount {
    value: f64,
    has_fraction: bool,
}

/// What is left to read of one entry.
struct Scan<'a> {
    typed: &'a str,
    rest: &'a str,
    grammar: &'a Grammar,
}

impl<'a> Scan<'a> {
    fn sign(&mut self) -> f64 {
        if let Some(rest) = self.rest.strip_prefix('-') {
            self.rest = rest;
            return -1.0;
        }
        self.rest = self.rest.strip_prefix('+').unwrap_or(self.rest);
        1.0
    }

    /// A number and a unit, nothing else.
    fn number_and_unit(&mut self) -> Result<f64, QuantityError> {
        let value = self.decimal()?;
        self.in_unit(value, self.rest)
    }

    /// `[feet] [inches [fraction]]`, or one number with a fraction or any unit.
    fn length(&mut self) -> Result<f64, QuantityError> {
        let first = self.amount()?;
        let unit = self.length_unit();
        let si = self.in_unit(first.value, unit)?;
        if first.has_fraction && !is_inch(unit) {
            return Err(self.bad_fraction("fractions belong to inches; write a decimal"));
        }
        if self.rest.is_empty() {
            return Ok(si);
        }
        if !is_foot(unit) {
            return Err(self.not_a_number());
        }
        let second = self.amount()?;
        let unit = self.length_unit();
        if !is_inch(unit) || !self.rest.is_empty() {
            return Err(self.not_a_number());
        }
        if second.value >= 12.0 {
            return Err(self.bad_fraction("after feet the inches stay below 12"));
        }
        Ok(si + self.in_unit(second.value, unit)?)
    }

    /// `33`, `33.25`, `33 1/4`, `33-1/4` or `1/4`.
    fn amount(&mut self) -> Result<Amount, QuantityError> {
        let value = self.decimal()?;
        if let Some(below) = self.rest.strip_prefix('/') {
            self.rest = below;
            let value = self.over(value)?;
            return Ok(Amount { value, has_fraction: true });
        }
        let Some(part) = self.fraction_ahead() else {
            return Ok(Amount { value, has_fraction: false });
        };
        if value.fract() != 0.0 {
            return Err(self.bad_fraction("a decimal and a fraction together"));
        }
        self.rest = part;
        let above = self.decimal()?;
        self.rest = self.rest.strip_prefix('/').unwrap_or(self.rest);
        let part = self.over(above)?;
        if part >= 1.0 {
            return Err(self.bad_fraction("the upper number must be the smaller one"));
        }
        Ok(Amount { value: value + part, has_fraction: true })
    }

    /// What follows the space or hyphen, if that begins with a fraction.
    fn fraction_ahead(&self) -> Option<&'a str> {
        let part = self.rest.strip_prefix('-').or_else(|| self.rest.strip_prefix(' '))?.trim_start();
        let slash = part.find(|sign: char| !sign.is_ascii_digit())?;
        (slash > 0 && part[slash..].starts_with('/')).then_some(part)
    }

    fn over(&mut self, above: f64) -> Result<f64, QuantityError> {
        let below = self.decimal()?;
        if below == 0.0 {
            return Err(self.bad_fraction("it divides by zero"));
        }
        Ok(above / below)
    }

    /// Digits with at most one point.
    fn decimal(&mut self) -> Result<f64, QuantityError> {
        let end =
            self.rest.find(|sign: char| !sign.is_ascii_digit() && sign != '.').unwrap_or(self.rest.len());
        let (digits, rest) = self.rest.split_at(end);
        let value = digits.parse::<f64>().map_err(|_| self.not_a_number())?;
        self.rest = rest;
        Ok(value)
    }

    /// Takes the unit of a length, and the space on both sides of it.
    fn length_unit(&mut self) -> &'a str {
        let start = self.rest.trim_start();
        let end = start.find(|sign: char| sign.is_ascii_digit() || sign == ' ').unwrap_or(start.len());
        let (unit, rest) = start.split_at(end);
        self.rest = rest.trim_start();
        unit
    }

    fn in_unit(&self, value: f64, unit: &str) -> Result<f64, QuantityError> {
        let squeezed: String = unit
            .chars()
            .filter(|sign| !matches!(sign, ' ' | '·' | '.' | '^' | '*' | '-'))
            .map(|sign| if sign == '²' { '2' } else { sign })
            .collect();
        let unit = self.grammar.unit(&squeezed).ok_or_else(|| QuantityError::UnknownUnit {
            found: self.typed.to_owned(),
            unit: unit.trim().to_owned(),
            known: self.grammar.known,
        })?;
        Ok(value * unit.times / unit.over)
    }

    fn not_a_number(&self) -> QuantityError {
        QuantityError::NotANumber { expected: self.grammar.expected, found: self.typed.to_owned() }
    }

    fn bad_fraction(&self, why: &'static str) -> QuantityError {
        QuantityError::BadFraction { found: self.typed.to_owned(), why }
    }
}

#[cfg(test)]
mod tests {
    use crate::{Length, Mass, QuantityError};

    /// What a fitter types, and the inches meant; the working is in the entry itself.
    const TYPED: [(&str, f64); 23] = [
        ("33", 33.0),
        ("33\"", 33.0),
        ("33 1/4", 33.25),
        ("33-1/4 in", 33.25),
        ("33 1/4\"", 33.25),
        ("33¼", 33.25),
        ("33.25in", 33.25),
        ("33.25 inches", 33.25),
        ("5 ft 10 1/2 in", 70.5),
        ("5'10\"", 70.0),
        ("5' 10 1/2''", 70.5),
        ("5’ 10½”", 70.5),
        ("5 ft", 60.0),
        ("5 ft 10", 70.0),
        ("1/2 in", 0.5),
        ("+1/2 in", 0.5),
        ("-1/2 in", -0.5),
        ("− 1/2", -0.5),
        ("845 mm", 845.0 / 25.4),
        ("84.5cm", 845.0 / 25.4),
        ("0.845 m", 845.0 / 25.4),
        ("  33\u{a0}1/4 IN ", 33.25),
        (".5", 0.5),
    ];

    #[test]
    fn lengths_are_read_as_the_bench_writes_them() {
        for (typed, inches) in TYPED {
            let length = Length::parse(typed).unwrap_or_else(|error| panic!("{typed}: {error}"));
            assert!((length.as_inches() - inches).abs() < 1e-12, "{typed} read as {length:?}");
        }
    }

    #[test]
    fn what_can_be_read_two_ways_is_refused() {
        for typed in [
            "",
            "   ",
            "in",
            "33 - 1/4",
            "33 in 1/4",
            "5-3 mm",
            "33-5 in",
            "33 5/4 in",
            "33 1/0",
            "1/2 mm",
            "845 1/2 mm",
            "33.5 1/2",
            "5 ft 12 in",
            "5 ft 10 mm",
            "1e3",
            "nan",
            "inf",
            "--3",
            "3 parsecs",
            "0x21",
            "33 1/4 1/4",
            "33..2",
            "1 1/2 ft",
            "110 m",
            "5 ft 10 in 3",
            "\u{0}33",
            "33;",
        ] {
            assert!(Length::parse(typed).is_err(), "{typed:?} was read as {:?}", Length::parse(typed));
        }
    }

    #[test]
    fn a_decimal_comma_is_refused_with_the_spelling_that_is_meant() {
        let error = Length::parse("0,5 in").unwrap_err();
        assert_eq!(
            error,
            QuantityError::DecimalComma { found: "0,5 in".to_owned(), suggestion: "0.5 in".to_owned() }
        );
        assert_eq!(error.hint().unwrap(), "Write a decimal point: \"0.5 in\".");
    }

    #[test]
    fn an_unknown_unit_is_named_with_the_known_ones() {
        let error = Mass::parse("426 gr").unwrap_err();
        assert_eq!(error.to_string(), "the unit \"gr\" in \"426 gr\" is not one of g, kg, oz, lb");
    }

    #[test]
    fn an_absurd_length_says_the_limits_in_inches() {
        let error = Length::parse("845 m").unwrap_err();
        assert_eq!(
            error.to_string(),
            "\"845 m\" is beyond anything met at a bench (from -3937 in to 3937 in)"
        );
    }
}
