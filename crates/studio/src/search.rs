//! Finding a golfer by what the fitter remembers: case, accents and spaces do not count.

use unicode_normalization::UnicodeNormalization;

/// Folds a text for searching: small letters without their accents.
#[must_use]
pub fn folded(text: &str) -> String {
    text.nfkd()
        .filter(|sign| !unicode_normalization::char::is_combining_mark(*sign))
        .flat_map(char::to_lowercase)
        .map(|sign| match sign {
            'ł' => 'l',
            'ø' => 'o',
            'đ' => 'd',
            'ı' => 'i',
            other => other,
        })
        .collect::<String>()
        .replace('ß', "ss")
        .replace('æ', "ae")
        .replace('œ', "oe")
}

/// Keeps the digits of a text, for telephone numbers however they are spaced.
#[must_use]
pub fn digits(text: &str) -> String {
    text.chars().filter(char::is_ascii_digit).collect()
}

#[cfg(test)]
mod tests {
    use super::{digits, folded};

    #[test]
    fn accents_and_case_do_not_count() {
        assert_eq!(folded("Łukasz DVOŘÁK"), "lukasz dvorak");
        assert_eq!(folded("Søren Größe"), "soren grosse");
        assert_eq!(digits("+44 (0)20 79-46"), "4402079".to_owned() + "46");
    }
}
