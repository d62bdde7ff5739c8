//! Any text in a calendar file: its lines are short, unfolded and unescaped they give the text back, and no text makes a
//! line of its own.
#![no_main]

use exchange::{ExchangeError, JobDates, follow_up_ics, job_ics};
use jiff::civil::Date;
use libfuzzer_sys::fuzz_target;
use studio::Id;

fuzz_target!(|input: (i16, i8, i64, &str, &str)| {
    let (year, day, ms, name, studio) = input;
    let uid = Id::of_bytes([7; 16]);
    let Ok(due) = Date::new(year, 12, day) else { return };
    match follow_up_ics(studio, &uid, due, name, ms) {
        Ok(file) => {
            let lines = unfolded(&file);
            is_one_event_each(&lines, 1);
            assert_eq!(texts(&lines, "SUMMARY:"), [as_lines(name)]);
            is_place(&lines, studio, 1);
        }
        Err(problem) => is_right(&problem, name, studio),
    }
    let dates = JobDates { job: &uid, promised: Some(due), cured_ms: Some(ms), name };
    match job_ics(studio, &dates, ms) {
        Ok(file) => {
            let lines = unfolded(&file);
            is_one_event_each(&lines, 2);
            let name = as_lines(name);
            assert_eq!(texts(&lines, "SUMMARY:"), [format!("{name} promised"), format!("{name} cured: go on")]);
            is_place(&lines, studio, 2);
        }
        Err(problem) => is_right(&problem, name, studio),
    }
});

/// The lines of a file, put together again. Standard: RFC 5545, section 3.1.
fn unfolded(file: &str) -> Vec<String> {
    let pieces: Vec<&str> = file.strip_suffix("\r\n").expect("a file ends with a line's end").split("\r\n").collect();
    let mut lines: Vec<String> = Vec::new();
    for piece in pieces {
        assert!(piece.len() <= 75 && !piece.contains(['\r', '\n']), "{piece:?}");
        match piece.strip_prefix(' ') {
            Some(rest) => lines.last_mut().expect("the first line is not folded").push_str(rest),
            None => lines.push(piece.to_owned()),
        }
    }
    lines
}

fn is_one_event_each(lines: &[String], events: usize) {
    for name in ["BEGIN:VEVENT", "END:VEVENT", "CLASS:PRIVATE"] {
        assert_eq!(lines.iter().filter(|line| *line == name).count(), events, "{lines:?}");
    }
    for line in lines {
        let name = line.split([':', ';']).next().unwrap_or_default();
        let known = ["BEGIN", "VERSION", "PRODID", "UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "LOCATION", "CLASS", "TRANSP", "END"];
        assert!(known.contains(&name), "{line:?}");
    }
}

fn is_place(lines: &[String], studio: &str, events: usize) {
    let place = as_lines(studio.trim());
    let places = if place.is_empty() { Vec::new() } else { vec![place; events] };
    assert_eq!(texts(lines, "LOCATION:"), places);
}

/// The texts of a property, unescaped. Standard: RFC 5545, section 3.3.11.
fn texts(lines: &[String], property: &str) -> Vec<String> {
    let unescaped = |text: &str| {
        let (mut plain, mut signs) = (String::new(), text.chars());
        while let Some(sign) = signs.next() {
            assert!(!matches!(sign, ';' | ','), "not escaped: {text:?}");
            plain.push(match sign {
                '\\' => match signs.next() {
                    Some('n') => '\n',
                    Some(sign @ ('\\' | ';' | ',')) => sign,
                    other => panic!("{other:?} is no escape of the standard"),
                },
                sign => sign,
            });
        }
        plain
    };
    lines.iter().filter_map(|line| line.strip_prefix(property)).map(unescaped).collect()
}

/// A text whose lines all end alike.
fn as_lines(text: &str) -> String {
    text.replace("\r\n", "\n").replace('\r', "\n")
}

fn is_right(problem: &ExchangeError, name: &str, studio: &str) {
    match problem {
        ExchangeError::ControlSign(sign) => assert!(name.contains(*sign) || studio.contains(*sign)),
        ExchangeError::BeyondCalendar(found) => assert!(!found.is_empty()),
        other => panic!("{other} has nothing to do with a calendar"),
    }
}
