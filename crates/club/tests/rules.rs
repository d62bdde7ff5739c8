//! The limits of the Rules of Golf, held against the numbers in the published texts.
//!
//! Sources: R&A/USGA Equipment Rules (2019), Part 2 section 1c (length 18 in / 0.457 m at least, 48 in /
//! 1.219 m at most, putters excepted) and section 3 (grip at least 7 in / 177.8 mm, at most 1.75 in /
//! 44.45 mm across); Model Local Rule G-10 (2022), 46 in, putters excepted.

use club::rules::{LEAST, LEAST_GRIP, LengthRule, MOST, MOST_BY_LOCAL_RULE, MOST_GRIP_SECTION};
use club::{ClubKind, bench_model};
use quantity::Length;

#[test]
fn the_limits_agree_with_the_published_metric_figures_to_their_last_digit() {
    assert!((LEAST.as_metres() - 0.457).abs() < 0.0005);
    assert!((MOST.as_metres() - 1.219).abs() < 0.0005);
    assert!((LEAST_GRIP.as_mm() - 177.8).abs() < 0.05);
    assert!((MOST_GRIP_SECTION.as_mm() - 44.45).abs() < 0.005);
    assert!((MOST_BY_LOCAL_RULE.as_inches() - 46.0).abs() < 1e-9);
    assert!(bench_model::GRIP_LENGTH >= LEAST_GRIP);
}

#[test]
fn a_length_stands_to_the_rule_as_the_text_says() {
    let of = |kind, inches| LengthRule::of(kind, Length::inches(inches));
    assert_eq!(of(ClubKind::Iron(7), 17.99), LengthRule::TooShort);
    assert_eq!(of(ClubKind::Iron(7), 18.0), LengthRule::AppearsToFit);
    assert_eq!(of(ClubKind::Driver, 46.0), LengthRule::AppearsToFit);
    assert_eq!(of(ClubKind::Driver, 46.5), LengthRule::OverTheLocalRule);
    assert_eq!(of(ClubKind::Driver, 48.0), LengthRule::OverTheLocalRule);
    assert_eq!(of(ClubKind::Driver, 48.01), LengthRule::TooLong);
    assert_eq!(of(ClubKind::Putter, 52.0), LengthRule::AppearsToFit);
    assert_eq!(of(ClubKind::Putter, 17.0), LengthRule::TooShort);
}

#[test]
fn no_wording_calls_a_club_legal() {
    for rule in
        [LengthRule::TooShort, LengthRule::AppearsToFit, LengthRule::OverTheLocalRule, LengthRule::TooLong]
    {
        assert!(rule.sentence().contains("committee"), "{}", rule.sentence());
        assert!(!rule.sentence().to_lowercase().contains("legal"));
    }
}
