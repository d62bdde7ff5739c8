//! A calendar file unfolds into what was put in, in lines no longer than the standard has them.

use crate::studios::{any_lines, id_of};
use exchange::follow_up_ics;
use jiff::civil::date;
use proptest::prelude::*;

/// Reads a property back by the standard: lines joined again, then the text without its escapes.
fn property(ics: &str, name: &str) -> Option<String> {
    let whole = ics.replace("\r\n ", "");
    let value = whole.split("\r\n").find_map(|line| line.strip_prefix(&format!("{name}:")))?.to_owned();
    let mut text = String::new();
    let mut signs = value.chars();
    while let Some(sign) = signs.next() {
        match sign {
            '\\' => text.push(match signs.next()? {
                'n' | 'N' => '\n',
                escaped => escaped,
            }),
            plain => text.push(plain),
        }
    }
    Some(text)
}

/// Long texts of long letters, so that a fold meets the middle of one.
fn any_text() -> impl Strategy<Value = String> {
    prop_oneof![any_lines(), "(é|\u{1f3cc}|x|\\\\|;|,){0,200}", "[\\PC]{0,300}"]
}

proptest! {
    #[test]
    fn what_goes_in_comes_back(
        studio in "[\\PC]{0,100}", summary in any_text(), year in 0_i16..=9998, month in 1_i8..=12, day in 1_i8..=28,
        stamp_ms in 0_i64..4_102_444_800_000,
    ) {
        let due = date(year, month, day);
        let ics = follow_up_ics(&studio, &id_of(7), due, &summary, stamp_ms).unwrap();
        prop_assert!(ics.ends_with("END:VCALENDAR\r\n"));
        for line in ics.split("\r\n") {
            prop_assert!(line.len() <= 75, "{} octets: {}", line.len(), line);
            prop_assert!(!line.contains(['\r', '\n']));
        }
        // a line end of any kind is a new line
        let wanted = summary.replace("\r\n", "\n").replace('\r', "\n");
        prop_assert_eq!(property(&ics, "SUMMARY"), Some(wanted));
        let place = Some(studio.trim().to_owned()).filter(|studio| !studio.is_empty());
        prop_assert_eq!(property(&ics, "LOCATION"), place);
        prop_assert_eq!(property(&ics, "UID"), Some(id_of(7).to_string()));
        prop_assert_eq!(property(&ics, "DTSTART;VALUE=DATE"), Some(format!("{year:04}{month:02}{day:02}")));
        let next = due.tomorrow().unwrap().strftime("%Y%m%d").to_string();
        prop_assert_eq!(property(&ics, "DTEND;VALUE=DATE"), Some(next));
        // no text can begin a property of its own
        let names: Vec<String> = ics
            .replace("\r\n ", "")
            .lines()
            .filter_map(|line| line.split([':', ';']).next().map(str::to_owned))
            .collect();
        let expected = if studio.trim().is_empty() { 13 } else { 14 };
        prop_assert_eq!(names.len(), expected, "{:?}", names);
    }
}
