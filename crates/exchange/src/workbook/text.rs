//! What a cell of a workbook says, as it would stand in a table of text.
//!
//! A number in the shortest text that reads back to it, a truth as `TRUE` or `FALSE`, an error by its name, a day as
//! `2026-11-03`, a time as `09:30:00`, both with a T between. How a cell was to look does not come in.

use calamine::{DataRef, ExcelDateTime};
use std::borrow::Cow;

/// Days that can be told, from the first to the one after the last: 0 is the eve of 1900, or the first of 1904; the
/// last is the end of the year 9999. Published by the makers of spreadsheet programs.
const DAYS: std::ops::Range<f64> = 0.0..2_958_466.0;

/// Returns the text of a cell; nothing where there is a number, day or time that cannot be told.
pub(super) fn of<'c>(value: &'c DataRef<'_>) -> Option<Cow<'c, str>> {
    Some(match value {
        DataRef::Empty => Cow::Borrowed(""),
        DataRef::String(text) | DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => {
            Cow::Borrowed(text.as_str())
        }
        DataRef::SharedString(text) => Cow::Borrowed(text),
        DataRef::Int(number) => Cow::Owned(number.to_string()),
        DataRef::Float(number) if number.is_finite() => Cow::Owned(number.to_string()),
        DataRef::Float(_) => return None,
        DataRef::Bool(true) => Cow::Borrowed("TRUE"),
        DataRef::Bool(false) => Cow::Borrowed("FALSE"),
        DataRef::Error(error) => Cow::Owned(error.to_string()),
        DataRef::DateTime(moment) => Cow::Owned(moment_words(moment)?),
    })
}

fn moment_words(moment: &ExcelDateTime) -> Option<String> {
    let days = moment.as_f64();
    if !DAYS.contains(&days) {
        return None;
    }
    let (year, month, day, hour, minute, second, _) = moment.to_ymd_hms_milli();
    let time = format!("{minute:02}:{second:02}");
    Some(if moment.is_duration() {
        // a stretch of time: its days count as hours
        format!("{}:{time}", (days * 24.0).floor())
    } else if days < 1.0 {
        format!("{hour:02}:{time}")
    } else if days.fract() > 0.0 {
        format!("{year:04}-{month:02}-{day:02}T{hour:02}:{time}")
    } else {
        format!("{year:04}-{month:02}-{day:02}")
    })
}

#[cfg(test)]
mod tests {
    use super::of;
    use calamine::{CellErrorType, DataRef, ExcelDateTime, ExcelDateTimeType};

    #[test]
    fn numbers_keep_the_shortest_text_that_reads_back() {
        for (number, text) in [
            (36.5, "36.5"),
            (-0.5, "-0.5"),
            (0.1 + 0.2, "0.30000000000000004"),
            (37.0, "37"),
            (1e-7, "0.0000001"),
        ] {
            assert_eq!(of(&DataRef::Float(number)).unwrap(), text);
        }
        for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(of(&DataRef::Float(number)), None);
        }
    }

    #[test]
    fn truths_errors_and_nothing_have_their_words() {
        assert_eq!(of(&DataRef::Bool(true)).unwrap(), "TRUE");
        assert_eq!(of(&DataRef::Error(CellErrorType::Div0)).unwrap(), "#DIV/0!");
        assert_eq!(of(&DataRef::Empty).unwrap(), "");
    }

    #[test]
    fn days_and_times_are_told_from_the_number_of_days() {
        let words = |days, kind, from_1904| {
            of(&DataRef::DateTime(ExcelDateTime::new(days, kind, from_1904))).map(|text| text.into_owned())
        };
        let at = |days| words(days, ExcelDateTimeType::DateTime, false);
        // 46 329 days after the eve of 1900, which counts a 29 February 1900: 2026-11-03
        assert_eq!(at(46_329.0).unwrap(), "2026-11-03");
        assert_eq!(at(46_329.395_833_333_336).unwrap(), "2026-11-03T09:30:00");
        assert_eq!(at(0.5).unwrap(), "12:00:00");
        assert_eq!(words(44_867.0, ExcelDateTimeType::DateTime, true).unwrap(), "2026-11-03");
        assert_eq!(words(1.5, ExcelDateTimeType::TimeDelta, false).unwrap(), "36:00:00");
        assert_eq!(at(-1.0), None);
        assert_eq!(at(2_958_466.0), None);
        assert_eq!(at(f64::NAN), None);
    }
}
