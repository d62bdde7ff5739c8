//! Money: whole cents, no fractions of them, one stated rounding.

use crate::StudioError;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Mul, Neg, Sub};

/// Most money of one amount, in cents. Definition of what the tool takes: ten million, far from any overflow.
const MOST_CENTS: i64 = 1_000_000_000;

/// An amount, in hundredths of the house's currency.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Money(i64);

/// A share in hundredths of a percent: 1250 is 12.5 %.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Share(i64);

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// So many cents.
    #[must_use]
    pub const fn cents(cents: i64) -> Self {
        Self(cents)
    }

    /// Returns the cents.
    #[must_use]
    pub const fn as_cents(self) -> i64 {
        self.0
    }

    /// Reads an amount: `18`, `18.50`, `18,5`. No currency, no sign, no thousands.
    ///
    /// # Errors
    /// [`StudioError::BadValue`] with what was expected and found.
    pub fn parse(text: &str) -> Result<Self, StudioError> {
        let bad = || {
            StudioError::BadValue {
            message: format!(
                "expected an amount such as 18.50, found \"{}\"",
                text.trim().chars().take(40).collect::<String>()
            ),
            hint: Some("Whole units and at most two digits behind the point; the currency stands once, in its own setting.".to_owned()),
        }
        };
        let plain = text.trim().replace(',', ".");
        let (whole, cents) = plain.split_once('.').unwrap_or((&plain, ""));
        let is_plain = |part: &str| part.chars().all(|sign| sign.is_ascii_digit());
        if whole.is_empty() || whole.len() > 9 || cents.len() > 2 || !is_plain(whole) || !is_plain(cents) {
            return Err(bad());
        }
        if plain.ends_with('.') {
            return Err(bad());
        }
        let whole: i64 = whole.parse().map_err(|_| bad())?;
        let cents: i64 = format!("{cents:0<2}").parse().map_err(|_| bad())?;
        let amount = whole * 100 + cents;
        if amount > MOST_CENTS { Err(bad()) } else { Ok(Self(amount)) }
    }

    /// A share of it, to the cent; half a cent goes away from nothing.
    #[must_use]
    pub const fn share(self, share: Share) -> Self {
        let exact = self.0 * share.0;
        let half = if exact < 0 { -5_000 } else { 5_000 };
        Self((exact + half) / 10_000)
    }

    /// Whether it could have been written down as an amount.
    #[must_use]
    pub const fn is_believable(self) -> bool {
        self.0.abs() <= MOST_CENTS
    }
}

impl Share {
    /// Reads `20 %`, `12.5`, `7,75 %`.
    ///
    /// # Errors
    /// [`StudioError::BadValue`] with what was expected and found.
    pub fn parse(text: &str) -> Result<Self, StudioError> {
        let amount = Money::parse(text.trim().trim_end_matches('%'));
        match amount {
            Ok(Money(hundredths)) if hundredths <= 10_000 => Ok(Self(hundredths)),
            _ => Err(StudioError::BadValue {
                message: format!(
                    "expected 0 to 100 %, found \"{}\"",
                    text.trim().chars().take(40).collect::<String>()
                ),
                hint: None,
            }),
        }
    }

    /// Whether it is nothing.
    #[must_use]
    pub const fn is_nothing(self) -> bool {
        self.0 == 0
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "\u{2212}" } else { "" };
        let cents = self.0.unsigned_abs();
        write!(f, "{sign}{}.{:02}", cents / 100, cents % 100)
    }
}

impl fmt::Display for Share {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.0 / 100, self.0 % 100) {
            (whole, 0) => write!(f, "{whole} %"),
            (whole, part) if part % 10 == 0 => write!(f, "{whole}.{} %", part / 10),
            (whole, part) => write!(f, "{whole}.{part:02} %"),
        }
    }
}

impl Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl Neg for Money {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<u32> for Money {
    type Output = Self;
    fn mul(self, count: u32) -> Self {
        Self(self.0.saturating_mul(i64::from(count)))
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Self>>(amounts: I) -> Self {
        amounts.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::{Money, Share};

    #[test]
    fn amounts_are_read_to_the_cent_and_written_the_same() {
        for (typed, cents) in [
            ("18", 1800),
            ("18.5", 1850),
            ("18,50", 1850),
            (" 0.07 ", 7),
            ("0", 0),
            ("10000000", 1_000_000_000),
        ] {
            let amount = Money::parse(typed).unwrap_or_else(|error| panic!("{typed}: {error}"));
            assert_eq!(amount.as_cents(), cents, "{typed}");
            assert_eq!(Money::parse(&amount.to_string()).unwrap(), amount);
        }
        for typed in [
            "",
            "18.505",
            "-3",
            "1.000,50",
            "£18",
            "18 €",
            "1e3",
            "NaN",
            "18.",
            ".5",
            "10000000.01",
            "99999999999999999999",
        ] {
            assert!(Money::parse(typed).is_err(), "{typed}");
        }
    }

    #[test]
    fn shares_are_rounded_to_the_cent_away_from_nothing() {
        let share = |typed: &str| Share::parse(typed).unwrap();
        for (cents, typed, wanted) in
            [(1000, "20 %", 200), (333, "50", 167), (1, "50 %", 1), (1, "49,99 %", 0), (9999, "7.75 %", 775)]
        {
            assert_eq!(Money::cents(cents).share(share(typed)).as_cents(), wanted, "{cents} {typed}");
            assert_eq!(Money::cents(-cents).share(share(typed)).as_cents(), -wanted, "-{cents} {typed}");
        }
        assert_eq!(share("12.5").to_string(), "12.5 %");
        assert_eq!(share("7,75%").to_string(), "7.75 %");
        assert!(Share::parse("120 %").is_err() && Share::parse("a fifth").is_err());
    }
}
