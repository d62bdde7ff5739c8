//! The passphrase of a studio: what may be one, how it is kept, and five words drawn by chance for who wants none of
//! their own.
//!
//! Kept as argon2id in PHC form. Source of the rules: OWASP ASVS 5.0, V6.2 (length over kinds of sign, no rules of
//! composition, common ones refused).

use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use argon2::{Algorithm, Argon2, Params, Version};
use std::sync::LazyLock;

/// Shortest passphrase, bytes. ASVS 5.0 V6.2.1 asks for 8 at least and recommends 15, which is taken.
pub const LEAST_BYTES: usize = 15;
/// Longest passphrase, bytes. House choice: longer ones only cost work.
pub const MOST_BYTES: usize = 1024;
/// Memory of the hash, KiB. Published: the argon2id setting of OWASP's password storage cheat sheet, 19 MiB, 2 passes,
/// 1 lane.
const MEMORY_KIB: u32 = 19 * 1024;
/// Passes over it.
const PASSES: u32 = 2;
/// Lanes.
const LANES: u32 = 1;
/// Words of a drawn passphrase: five of 7,776 are 64 bits.
const DRAWN: usize = 5;
/// Letters that must be left when the studio's name and the trade's words are taken out. House choice.
const LEAST_OF_ONES_OWN: usize = 8;

/// Long ones that many have chosen. From: the list of 30,000 common passwords in zxcvbn (Python package 4.5.0, MIT
/// licence), those of 15 signs and more; all shorter ones are too short anyway.
const COMMON: &str = include_str!("common.txt");
/// The Electronic Frontier Foundation's long word list (2016), 7,776 words, CC BY 3.0 US.
const WORDS: &str = include_str!("words.txt");
/// Words anyone would try here first.
const OURS: [&str; 14] = [
    "lengthwise",
    "passphrase",
    "password",
    "studio",
    "fitting",
    "golf",
    "club",
    "iron",
    "wedge",
    "putter",
    "driver",
    "swing",
    "lesson",
    "bench",
];

/// Why something is no passphrase.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PassphraseProblem {
    /// Too short or too long.
    #[error("expected {LEAST_BYTES} to {MOST_BYTES} bytes, found {0}")]
    Length(usize),
    /// On a list that is tried first.
    #[error("expected one that is not on the lists of common ones, found one that is")]
    Common,
    /// A row of the keyboard, of digits or of the alphabet, or one piece over and over.
    #[error("expected more than a row or one piece over and over")]
    Pattern,
    /// The studio's name and words of the trade.
    #[error("expected more than the studio's name and words of the trade")]
    OurWords,
}

/// A passphrase that may be kept.
pub struct Passphrase<'t>(&'t str);

impl<'t> Passphrase<'t> {
    /// Takes what was typed, as it was typed: nothing is trimmed, cut or changed in case.
    ///
    /// # Errors
    /// [`PassphraseProblem`] for what others would try first.
    pub fn check(typed: &'t str, studio: &str) -> Result<Self, PassphraseProblem> {
        if !(LEAST_BYTES..=MOST_BYTES).contains(&typed.len()) {
            return Err(PassphraseProblem::Length(typed.len()));
        }
        let lower = typed.to_lowercase();
        if COMMON.lines().any(|common| common == lower) {
            return Err(PassphraseProblem::Common);
        }
        if is_pattern(&lower) {
            return Err(PassphraseProblem::Pattern);
        }
        if of_ones_own(&lower, studio) < LEAST_OF_ONES_OWN {
            return Err(PassphraseProblem::OurWords);
        }
        Ok(Self(typed))
    }

    /// Works out what is kept of it. Slow on purpose: some tens of milliseconds and 19 MiB.
    #[must_use]
    pub fn to_phc(&self, salt: [u8; 16]) -> String {
        Self::kept_as(self.0, salt)
    }

    /// The same for a passphrase that was checked before.
    #[must_use]
    pub fn kept_as(checked: &str, salt: [u8; 16]) -> String {
        hash(checked, salt)
    }

    /// Tells whether what was typed is the passphrase that was kept; as slow as [`Passphrase::to_phc`]. Without one kept
    /// it takes the same time and is false.
    #[must_use]
    pub fn is_kept(typed: &str, phc: Option<&str>) -> bool {
        /// Of no passphrase at all: compared with when there is none, so that the time does not tell.
        static NONE: LazyLock<String> = LazyLock::new(|| hash("", [0; 16]));
        let typed = if typed.len() > MOST_BYTES { "" } else { typed };
        let is_right = PasswordHash::new(phc.unwrap_or(&NONE))
            .is_ok_and(|kept| argon2().verify_password(typed.as_bytes(), &kept).is_ok());
        is_right && phc.is_some()
    }

    /// Tells whether a kept passphrase was worked out with less than is asked today.
    #[must_use]
    pub fn is_of_old(phc: &str) -> bool {
        !phc.starts_with(&format!("$argon2id$v=19$m={MEMORY_KIB},t={PASSES},p={LANES}$"))
    }
}

impl std::fmt::Debug for Passphrase<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Passphrase")
    }
}

fn argon2() -> Argon2<'static> {
    let params = Params::new(MEMORY_KIB, PASSES, LANES, None).expect("within argon2's own limits");
    Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
}

fn hash(passphrase: &str, salt: [u8; 16]) -> String {
    let hash = argon2().hash_password_with_salt(passphrase.as_bytes(), &salt);
    hash.expect("a salt of 16 bytes and settings within the limits").to_string()
}

/// One short piece over and over, or signs that follow one another in the alphabet, in digits or on a keyboard.
fn is_pattern(lower: &str) -> bool {
    const ROWS: [&str; 6] =
        ["abcdefghijklmnopqrstuvwxyz", "01234567890", "qwertyuiop", "asdfghjkl", "zxcvbnm", "qwertzuiop"];
    let signs: Vec<char> = lower.chars().filter(|sign| !sign.is_whitespace() && *sign != '-').collect();
    let repeats = (1..LEAST_BYTES.min(signs.len()))
        .any(|period| signs.len() >= 2 * period && signs.iter().zip(&signs[period..]).all(|(a, b)| a == b));
    let follows = |pair: &[char]| {
        let both: String = pair.iter().collect();
        let back: String = pair.iter().rev().collect();
        ROWS.iter().any(|row| row.contains(&both) || row.contains(&back))
    };
    let in_a_row = signs.windows(2).filter(|pair| follows(pair)).count();
    // a few breaks between rows make it no better
    repeats || in_a_row + 3 >= signs.len()
}

/// How many letters are left without the studio's name, the trade's words, digits and what stands between.
fn of_ones_own(lower: &str, studio: &str) -> usize {
    let studio = studio.to_lowercase();
    let names = studio.split(|sign: char| !sign.is_alphanumeric()).filter(|word| word.chars().count() > 2);
    let mut left = lower.to_owned();
    for word in names.chain(OURS) {
        left = left.replace(word, "");
    }
    left.chars().filter(|sign| sign.is_alphabetic()).count()
}

/// Draws a passphrase of five words from 80 bits of chance.
#[must_use]
pub fn drawn_words(chance: [u16; 2 * DRAWN]) -> String {
    let words: Vec<&str> = WORDS.lines().collect();
    let drawn = chance.chunks(2).filter_map(|pair| {
        let number = pair.iter().fold(0_usize, |number, half| number << 16 | usize::from(*half));
        // of 2^32, so that no word is likelier by more than two in a million
        words.get(number % words.len()).copied()
    });
    drawn.collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::{Passphrase, PassphraseProblem, drawn_words};

    #[test]
    fn length_is_what_counts_and_it_is_taken_as_typed() {
        for good in [
            "seven pale herons walk",
            "Zwölf graue Ziegen",
            "  leading and trailing  x",
            "correct horse battery",
        ] {
            assert!(Passphrase::check(good, "Falk's bench").is_ok(), "{good}");
        }
        assert_eq!(Passphrase::check("too short", "").unwrap_err(), PassphraseProblem::Length(9));
        assert!(Passphrase::check(&"ab cd ".repeat(400), "").is_err());
    }

    #[test]
    fn what_others_try_first_is_refused() {
        let problem = |typed| Passphrase::check(typed, "Hilltop Golf Bench").unwrap_err();
        assert_eq!(problem("1qaz2wsx3edc4rfv"), PassphraseProblem::Common);
        assert_eq!(problem("Q1W2E3R4T5Y6U7I8"), PassphraseProblem::Common);
        for row in [
            "aaaaaaaaaaaaaaaaaa",
            "passwordpassword",
            "abcdefghijklmnopq",
            "0123456789 9876543210",
            "qwertyuiop asdfgh",
        ] {
            assert_eq!(problem(row), PassphraseProblem::Pattern, "{row}");
        }
        for ours in ["hilltop golf bench 2026", "Lengthwise-Studio-1", "golf club hilltop!!"] {
            assert_eq!(problem(ours), PassphraseProblem::OurWords, "{ours}");
        }
    }

    #[test]
    fn what_is_kept_knows_its_own_passphrase_and_no_other() {
        let phc = Passphrase::check("seven pale herons walk", "").unwrap().to_phc([7; 16]);
        assert!(phc.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"), "{phc}");
        assert!(!phc.contains("heron"));
        assert!(Passphrase::is_kept("seven pale herons walk", Some(&phc)));
        for wrong in ["seven pale herons walk ", "Seven pale herons walk", "", &"x".repeat(5000)] {
            assert!(!Passphrase::is_kept(wrong, Some(&phc)), "{wrong}");
        }
        assert!(!Passphrase::is_kept("", None), "without one nothing is right");
        assert!(!Passphrase::is_kept("", Some("not a hash")));
        assert!(!Passphrase::is_of_old(&phc));
        assert!(Passphrase::is_of_old("$argon2id$v=19$m=4096,t=2,p=1$c2FsdA$aGFzaA"));
    }

    #[test]
    fn five_words_are_drawn_from_the_whole_list() {
        assert_eq!(super::WORDS.lines().count(), 7776);
        assert_eq!(drawn_words([0; 10]), "abacus abacus abacus abacus abacus");
        assert_eq!(drawn_words([0, 7775, 0, 0, 0, 1, 0, 7776, 1, 0]), "zoom abacus abdomen abacus iciness");
        assert!(Passphrase::check(&drawn_words([3, 9, 2, 8, 1, 7, 4, 6, 5, 5]), "").is_ok());
    }
}
