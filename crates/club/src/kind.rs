//! Which club it is: read from the name a golfer or fitter gives it.
//!
//! A name may say the number (`7 iron`, `7i`, `5 wood`), the wedge (`PW`, `sand wedge`) or a wedge's
//! loft (`54 deg wedge`). The kind decides where a club stands in the set and whether the length rule
//! speaks of it; the golfer's own name is kept for every sheet.

use crate::ClubError;
use quantity::Angle;
use std::fmt;
use std::ops::RangeInclusive;

/// A wedge by its place in the set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Wedge {
    /// The wedge next to the nine-iron.
    Pitching,
    /// The wedge between pitching and sand.
    Gap,
    /// The wedge for bunkers.
    Sand,
    /// The wedge of most loft.
    Lob,
}

/// A club by its place in the bag, longest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ClubKind {
    /// The driver.
    Driver,
    /// A fairway wood of this number.
    Wood(u8),
    /// A hybrid of this number.
    Hybrid(u8),
    /// An iron of this number.
    Iron(u8),
    /// A wedge.
    Wedge(Wedge),
    /// The putter.
    Putter,
}

impl ClubKind {
    /// Reads the kind from a club's name.
    ///
    /// # Errors
    /// [`ClubError::UnknownClub`] when the name does not say which club it is.
    pub fn from_name(name: &str) -> Result<Self, ClubError> {
        let unknown = || ClubError::UnknownClub { found: name.trim().to_owned() };
        let words = words(name);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let says = |options: &[&str]| words.iter().any(|word| options.contains(word));
        let number = words.iter().find_map(|word| word.parse::<u8>().ok());
        let numbered = |make: fn(u8) -> Self, numbers: RangeInclusive<u8>| {
            number.filter(|number| numbers.contains(number)).map(make).ok_or_else(unknown)
        };
        if says(&["hybrid", "h", "hy"]) {
            return numbered(Self::Hybrid, 1..=9);
        }
        if let Some(kind) = named(&words) {
            return Ok(kind);
        }
        let families =
            (says(&["iron", "irons", "i"]), says(&["wood", "w", "fairway"]), says(&["wedge", "wedges"]));
        match families {
            (true, false, false) => return numbered(Self::Iron, 1..=9),
            (false, true, false) => return numbered(Self::Wood, 2..=11),
            (false, false, _) => {}
            // two clubs in one name: nobody knows which is meant
            _ => return Err(unknown()),
        }
        if families.2 || says(&["deg", "degree", "degrees", "°"]) {
            return number.and_then(wedge_of_loft).map(Self::Wedge).ok_or_else(unknown);
        }
        Err(unknown())
    }

    /// Reads the loft a wedge's name gives, as in `54 deg wedge` or `SW 56`.
    #[must_use]
    pub fn loft_in_name(self, name: &str) -> Option<Angle> {
        let loft = words(name).iter().find_map(|word| word.parse::<u8>().ok())?;
        matches!(self, Self::Wedge(_))
            .then(|| Angle::degrees(f64::from(loft)))
            .filter(|_| wedge_of_loft(loft).is_some())
    }

    /// Names it in as few letters as the trade does: `7 iron`, `PW`.
    #[must_use]
    pub fn short(self) -> String {
        match self {
            Self::Wedge(Wedge::Pitching) => "PW".to_owned(),
            Self::Wedge(Wedge::Gap) => "GW".to_owned(),
            Self::Wedge(Wedge::Sand) => "SW".to_owned(),
            Self::Wedge(Wedge::Lob) => "LW".to_owned(),
            Self::Driver | Self::Wood(_) | Self::Hybrid(_) | Self::Iron(_) | Self::Putter => self.to_string(),
        }
    }

    /// Tells whether the length rule speaks of this club: irons and wedges, not woods, hybrids or putters.
    #[must_use]
    pub fn is_iron_or_wedge(self) -> bool {
        matches!(self, Self::Iron(_) | Self::Wedge(_))
    }
}

/// Cuts a name into lower-case words, numbers apart from letters and a remark in brackets left out.
fn words(name: &str) -> Vec<String> {
    let plain = name.split('(').next().unwrap_or(name).to_lowercase();
    let mut words: Vec<String> = Vec::new();
    let mut last_was_digit = None;
    for sign in plain.chars() {
        if !sign.is_alphanumeric() && sign != '°' {
            last_was_digit = None;
            continue;
        }
        let is_digit = sign.is_ascii_digit();
        match words.last_mut() {
            Some(word) if last_was_digit == Some(is_digit) => word.push(sign),
            _ => words.push(sign.to_string()),
        }
        last_was_digit = Some(is_digit);
    }
    words
}

/// Names that need no number; a number beside them is the loft.
fn named(words: &[&str]) -> Option<ClubKind> {
    if let ["1", "wood" | "w"] = words {
        return Some(ClubKind::Driver);
    }
    let is_number = |word: &str| word.bytes().all(|sign| sign.is_ascii_digit());
    let spoken: Vec<&str> = words
        .iter()
        .copied()
        .filter(|word| !is_number(word) && !matches!(*word, "deg" | "degree" | "degrees" | "°"))
        .collect();
    match spoken.as_slice() {
        ["driver" | "dr" | "d"] => Some(ClubKind::Driver),
        ["putter" | "pt"] => Some(ClubKind::Putter),
        ["pw" | "pitching"] | ["pitching", "wedge"] => Some(ClubKind::Wedge(Wedge::Pitching)),
        ["gw" | "aw" | "gap"] | ["gap" | "approach", "wedge"] => Some(ClubKind::Wedge(Wedge::Gap)),
        ["sw" | "sand"] | ["sand", "wedge" | "iron"] => Some(ClubKind::Wedge(Wedge::Sand)),
        ["lw" | "lob"] | ["lob", "wedge"] => Some(ClubKind::Wedge(Wedge::Lob)),
        _ => None,
    }
}

/// The place of a wedge known by its loft in degrees. Trade practice: lofts of the four places.
fn wedge_of_loft(degrees: u8) -> Option<Wedge> {
    match degrees {
        43..=48 => Some(Wedge::Pitching),
        49..=53 => Some(Wedge::Gap),
        54..=57 => Some(Wedge::Sand),
        58..=66 => Some(Wedge::Lob),
        _ => None,
    }
}

impl fmt::Display for ClubKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Driver => f.write_str("driver"),
            Self::Wood(number) => write!(f, "{number} wood"),
            Self::Hybrid(number) => write!(f, "{number} hybrid"),
            Self::Iron(number) => write!(f, "{number} iron"),
            Self::Wedge(Wedge::Pitching) => f.write_str("pitching wedge"),
            Self::Wedge(Wedge::Gap) => f.write_str("gap wedge"),
            Self::Wedge(Wedge::Sand) => f.write_str("sand wedge"),
            Self::Wedge(Wedge::Lob) => f.write_str("lob wedge"),
            Self::Putter => f.write_str("putter"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{ClubKind, Wedge};

    #[test]
    fn the_names_golfers_use_are_understood() {
        for (name, kind) in [
            ("7 iron", ClubKind::Iron(7)),
            ("7i", ClubKind::Iron(7)),
            ("Iron 7", ClubKind::Iron(7)),
            ("7-iron (older head)", ClubKind::Iron(7)),
            ("5 wood", ClubKind::Wood(5)),
            ("3w", ClubKind::Wood(3)),
            ("4 Hybrid", ClubKind::Hybrid(4)),
            ("Driver", ClubKind::Driver),
            ("putter", ClubKind::Putter),
            ("PW", ClubKind::Wedge(Wedge::Pitching)),
            ("Pitching wedge", ClubKind::Wedge(Wedge::Pitching)),
            ("approach wedge", ClubKind::Wedge(Wedge::Gap)),
            ("54 deg wedge", ClubKind::Wedge(Wedge::Sand)),
            ("60°", ClubKind::Wedge(Wedge::Lob)),
            ("7 iron 34 deg", ClubKind::Iron(7)),
            ("3 wood 15 deg", ClubKind::Wood(3)),
            ("4 hybrid iron", ClubKind::Hybrid(4)),
            ("PW 46", ClubKind::Wedge(Wedge::Pitching)),
            ("sand wedge 56 deg", ClubKind::Wedge(Wedge::Sand)),
            ("driver 10", ClubKind::Driver),
        ] {
            assert_eq!(ClubKind::from_name(name), Ok(kind), "{name}");
        }
    }

    #[test]
    fn a_wedges_name_may_give_its_loft() {
        let loft = |name: &str| {
            ClubKind::from_name(name).unwrap().loft_in_name(name).map(|loft| loft.as_degrees().round())
        };
        assert_eq!(loft("54 deg wedge"), Some(54.0));
        assert_eq!(loft("SW 56"), Some(56.0));
        assert_eq!(loft("sand wedge"), None);
        assert_eq!(loft("7 iron 34 deg"), None);
    }

    #[test]
    fn a_name_that_says_no_club_is_refused() {
        for name in [
            "",
            "iron",
            "12 iron",
            "my club",
            "7",
            "7 iron 3 wood",
            "9 iron wedge",
            "99 deg wedge",
            "0 iron",
            "999 iron",
        ] {
            assert!(ClubKind::from_name(name).is_err(), "{name}");
        }
    }

    #[test]
    fn the_bag_runs_from_driver_to_putter() {
        assert!(ClubKind::Driver < ClubKind::Wood(3));
        assert!(ClubKind::Iron(9) < ClubKind::Wedge(Wedge::Pitching));
        assert!(ClubKind::Wedge(Wedge::Lob) < ClubKind::Putter);
    }
}
