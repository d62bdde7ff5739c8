//! Dates as a calendar file: a follow-up or a promised day lasts its whole day, the end of curing is a moment.
//!
//! Source: standard, RFC 5545 (iCalendar, 2009), sections 3.1 (lines and folding), 3.3.11 (escaping of text) and 3.6.1
//! (an event ends before its `DTEND`). It says no more than it is given: no contact, no health, and the golfer's name
//! only where the summary holds it.

use crate::ExchangeError;
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::Offset;
use studio::Id;

/// Longest line without its end, octets. Standard: RFC 5545, section 3.1.
const LONGEST_LINE: usize = 75;

/// Writes the day to see a golfer again; `stamp_ms` is when it was written, milliseconds UTC.
///
/// Another day under the same `uid` is the same event, moved. `studio` is the place of the event.
/// The day does not block others: it is marked as free time, and as private.
///
/// # Errors
/// [`ExchangeError::BeyondCalendar`] for a day or time outside the years 0 to 9999,
/// [`ExchangeError::ControlSign`] for a text with signs other than letters, tabs and new lines.
pub fn follow_up_ics(
    studio: &str,
    uid: &Id,
    due: Date,
    summary: &str,
    stamp_ms: i64,
) -> Result<String, ExchangeError> {
    calendar(studio, stamp_ms, &[Event { uid: uid.to_string(), when: When::Day(due), summary }])
}

/// A job's dates.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JobDates<'a> {
    /// The job.
    pub job: &'a Id,
    /// The day it is promised for.
    pub promised: Option<Date>,
    /// When its glue has cured, milliseconds UTC.
    pub cured_ms: Option<i64>,
    /// What it is called: its number, and the golfer's name where the house wants it there.
    pub name: &'a str,
}

/// Writes the dates of a job: the day it is promised for, and the moment its glue has cured.
///
/// # Errors
/// As [`follow_up_ics`]; [`ExchangeError::BeyondCalendar`] for a job without dates too, since a calendar holds one event
/// at least.
pub fn job_ics(studio: &str, dates: &JobDates<'_>, stamp_ms: i64) -> Result<String, ExchangeError> {
    let (promised, cured) = (format!("{} promised", dates.name), format!("{} cured: go on", dates.name));
    let promised = dates.promised.map(|day| Event {
        uid: format!("{}-promised", dates.job),
        when: When::Day(day),
        summary: &promised,
    });
    let cured = dates.cured_ms.map(|ms| Event {
        uid: format!("{}-cured", dates.job),
        when: When::Moment(ms),
        summary: &cured,
    });
    let events: Vec<Event<'_>> = promised.into_iter().chain(cured).collect();
    if events.is_empty() { Err(beyond("no date")) } else { calendar(studio, stamp_ms, &events) }
}

/// One event.
struct Event<'a> {
    uid: String,
    when: When,
    summary: &'a str,
}

/// When it is.
enum When {
    /// A whole day.
    Day(Date),
    /// A moment, milliseconds UTC.
    Moment(i64),
}

fn calendar(studio: &str, stamp_ms: i64, events: &[Event<'_>]) -> Result<String, ExchangeError> {
    let mut lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Lengthwise//Lengthwise//EN"]
        .map(str::to_owned)
        .to_vec();
    for event in events {
        lines.extend([
            "BEGIN:VEVENT".to_owned(),
            format!("UID:{}", event.uid),
            format!("DTSTAMP:{}", stamp(stamp_ms)?),
        ]);
        match event.when {
            When::Day(due) => lines.extend([
                format!("DTSTART;VALUE=DATE:{}", day(due)?),
                format!("DTEND;VALUE=DATE:{}", day(due.tomorrow().map_err(|_| beyond(due))?)?),
            ]),
            // without an end it ends when it begins, as the standard has it
            When::Moment(ms) => lines.push(format!("DTSTART:{}", stamp(ms)?)),
        }
        lines.push(format!("SUMMARY:{}", escaped(event.summary)?));
        if !studio.trim().is_empty() {
            lines.push(format!("LOCATION:{}", escaped(studio.trim())?));
        }
        lines.extend(["CLASS:PRIVATE", "TRANSP:TRANSPARENT", "END:VEVENT"].map(str::to_owned));
    }
    lines.push("END:VCALENDAR".to_owned());
    Ok(lines.iter().map(|line| folded(line) + "\r\n").collect())
}

fn beyond(found: impl ToString) -> ExchangeError {
    ExchangeError::BeyondCalendar(found.to_string())
}

fn day(day: Date) -> Result<String, ExchangeError> {
    if day.year() < 0 {
        return Err(beyond(day));
    }
    Ok(format!("{:04}{:02}{:02}", day.year(), day.month(), day.day()))
}

fn stamp(ms: i64) -> Result<String, ExchangeError> {
    let at = Timestamp::from_millisecond(ms).map_err(|_| beyond(format!("{ms} ms")))?;
    let at = Offset::UTC.to_datetime(at);
    Ok(format!("{}T{:02}{:02}{:02}Z", day(at.date())?, at.hour(), at.minute(), at.second()))
}

/// Escapes a text; a line end of any kind is a new line.
fn escaped(text: &str) -> Result<String, ExchangeError> {
    let mut escaped = String::with_capacity(text.len() + 8);
    for sign in text.replace("\r\n", "\n").chars() {
        match sign {
            '\\' => escaped.push_str("\\\\"),
            ';' => escaped.push_str("\\;"),
            ',' => escaped.push_str("\\,"),
            '\n' | '\r' => escaped.push_str("\\n"),
            '\t' => escaped.push('\t'),
            control if control.is_control() => return Err(ExchangeError::ControlSign(control)),
            plain => escaped.push(plain),
        }
    }
    Ok(escaped)
}

/// Folds a line: each further piece begins with a space, and no character is cut.
fn folded(line: &str) -> String {
    let mut folded = String::with_capacity(line.len() + line.len() / 32);
    let mut used = 0;
    for sign in line.chars() {
        if used + sign.len_utf8() > LONGEST_LINE {
            folded.push_str("\r\n ");
            used = 1;
        }
        folded.push(sign);
        used += sign.len_utf8();
    }
    folded
}

#[cfg(test)]
mod tests {
    use super::{JobDates, folded, follow_up_ics, job_ics};
    use crate::ExchangeError;
    use jiff::civil::{Date, date};
    use studio::Id;

    fn uid() -> Id {
        Id::parse("01938a6e-1b2c-7def-8123-456789abcdef").unwrap()
    }

    #[test]
    fn a_follow_up_is_one_whole_day() {
        // 1 764 590 400 s are 20 423 days and 12 h after 1970-01-01: noon of 2025-12-01
        let ics = follow_up_ics(
            "Studio; North, 2",
            &uid(),
            date(2025, 12, 31),
            "See Ines Falk\nagain",
            1_764_590_400_000,
        );
        assert_eq!(
            ics.unwrap(),
            "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Lengthwise//Lengthwise//EN\r\nBEGIN:VEVENT\r\n\
             UID:01938a6e-1b2c-7def-8123-456789abcdef\r\nDTSTAMP:20251201T120000Z\r\n\
             DTSTART;VALUE=DATE:20251231\r\nDTEND;VALUE=DATE:20260101\r\nSUMMARY:See Ines Falk\\nagain\r\n\
             LOCATION:Studio\\; North\\, 2\r\nCLASS:PRIVATE\r\nTRANSP:TRANSPARENT\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
        );
    }

    #[test]
    fn a_job_has_the_day_it_is_promised_for_and_the_moment_its_glue_has_cured() {
        let uid = uid();
        let dates = JobDates {
            job: &uid,
            promised: Some(date(2026, 12, 3)),
            cured_ms: Some(1_764_590_400_000),
            name: "Job 7, Falk; Ines",
        };
        let ics = job_ics("", &dates, 0).unwrap();
        assert_eq!(
            ics,
            "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Lengthwise//Lengthwise//EN\r\nBEGIN:VEVENT\r\n\
             UID:01938a6e-1b2c-7def-8123-456789abcdef-promised\r\nDTSTAMP:19700101T000000Z\r\n\
             DTSTART;VALUE=DATE:20261203\r\nDTEND;VALUE=DATE:20261204\r\nSUMMARY:Job 7\\, Falk\\; Ines promised\r\n\
             CLASS:PRIVATE\r\nTRANSP:TRANSPARENT\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\n\
             UID:01938a6e-1b2c-7def-8123-456789abcdef-cured\r\nDTSTAMP:19700101T000000Z\r\n\
             DTSTART:20251201T120000Z\r\nSUMMARY:Job 7\\, Falk\\; Ines cured: go on\r\n\
             CLASS:PRIVATE\r\nTRANSP:TRANSPARENT\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
        );
        let none = JobDates { promised: None, cured_ms: None, ..dates };
        assert!(matches!(job_ics("", &none, 0), Err(ExchangeError::BeyondCalendar(_))));
    }

    #[test]
    fn a_studio_without_a_name_is_no_place() {
        let ics = follow_up_ics(" ", &uid(), date(2026, 2, 28), "back\\slash", 0).unwrap();
        assert!(!ics.contains("LOCATION"));
        assert!(ics.contains("SUMMARY:back\\\\slash\r\n"));
        assert!(ics.contains("DTSTAMP:19700101T000000Z\r\n"));
        assert!(ics.contains("DTEND;VALUE=DATE:20260301\r\n"));
    }

    #[test]
    fn a_line_is_folded_before_the_character_that_does_not_fit() {
        // 75 octets stay; the 76th begins the next line
        assert_eq!(folded(&"x".repeat(75)), "x".repeat(75));
        assert_eq!(folded(&"x".repeat(76)), format!("{}\r\n x", "x".repeat(75)));
        // 74 and a letter of two octets are 76: the letter goes whole to the next line
        assert_eq!(folded(&format!("{}é", "x".repeat(74))), format!("{}\r\n é", "x".repeat(74)));
        // a further line holds 74 beside its space
        assert_eq!(folded(&"x".repeat(150)), format!("{}\r\n {}\r\n x", "x".repeat(75), "x".repeat(74)));
    }

    #[test]
    fn what_a_calendar_cannot_hold_is_refused() {
        let refused = |due: Date, summary: &str, ms| follow_up_ics("", &uid(), due, summary, ms).unwrap_err();
        assert!(matches!(refused(Date::MAX, "a", 0), ExchangeError::BeyondCalendar(_)));
        assert!(matches!(refused(date(-1, 1, 1), "a", 0), ExchangeError::BeyondCalendar(_)));
        assert!(matches!(refused(date(2026, 1, 1), "a", i64::MAX), ExchangeError::BeyondCalendar(_)));
        let control = refused(date(2026, 1, 1), "a\u{7}b", 0);
        assert_eq!(control.to_string(), "expected a text without control signs, found U+0007");
    }
}
