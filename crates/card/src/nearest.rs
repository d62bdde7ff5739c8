//! The known word nearest to one that is not known.

/// Finds the nearest known word, if any is near enough to have been meant.
#[must_use]
pub fn nearest<'a>(found: &str, known: &[&'a str]) -> Option<&'a str> {
    let found = found.to_lowercase().replace('-', "_");
    known
        .iter()
        .map(|word| (strsim::jaro_winkler(&found, word), *word))
        .filter(|(likeness, _)| *likeness > 0.75)
        .max_by(|(a, _), (b, _)| a.total_cmp(b))
        .map(|(_, word)| word)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_slip_of_the_finger_finds_the_word_meant() {
        let known = ["knuckle_height", "wrist_height", "shoes"];
        assert_eq!(nearest("knucle_height", &known), Some("knuckle_height"));
        assert_eq!(nearest("Wrist-Height", &known), Some("wrist_height"));
        assert_eq!(nearest("zzz", &known), None);
    }
}
