//! Text cells that a spreadsheet would take for a formula, made harmless and read back.
//!
//! A text whose first sign, after any apostrophes, can begin a formula gets one apostrophe in front; reading takes
//! one away from exactly those. Counting the apostrophes that were there already makes it exact: a golfer who is
//! named `'=1` comes back as `'=1`. Numbers are not guarded: they are written as numbers, so -0.5 stays one.

/// Returns a text as it is safe in a cell.
#[must_use]
pub fn guarded(text: &str) -> String {
    if begins_a_formula(text) { format!("'{text}") } else { text.to_owned() }
}

/// Takes away the apostrophe that [`guarded`] put there.
#[must_use]
pub fn unguarded(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(text) if begins_a_formula(text) => text,
        _ => cell,
    }
}

fn begins_a_formula(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(['=', '+', '-', '@', '\t', '\r', '\0'])
}

#[cfg(test)]
mod tests {
    use super::{guarded, unguarded};

    #[test]
    fn what_can_begin_a_formula_gets_one_apostrophe_and_nothing_else_does() {
        for (text, cell) in [
            ("=1+1", "'=1+1"),
            ("+44 20 7946", "'+44 20 7946"),
            ("-1/2 in", "'-1/2 in"),
            ("@home", "'@home"),
            ("\tx", "'\tx"),
            ("\rx", "'\rx"),
            ("\0x", "'\0x"),
            ("'=1", "''=1"),
            ("'tis", "'tis"),
            ("O'Neil", "O'Neil"),
            ("'", "'"),
            ("", ""),
            ("1-2", "1-2"),
        ] {
            assert_eq!(guarded(text), cell, "{text:?}");
            assert_eq!(unguarded(cell), text, "{cell:?}");
        }
    }

    #[test]
    fn a_formula_someone_else_wrote_is_left_as_text() {
        assert_eq!(unguarded("=1+1"), "=1+1");
    }
}
