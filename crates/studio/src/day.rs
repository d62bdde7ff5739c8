//! Days as a person types them: `3 11 2026`, `3 Nov`, `yesterday`, `2026-11-03`.

use jiff::ToSpan;
use jiff::civil::Date;

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// Reads a day; day before month, as it is spoken here. Without a year it is the one nearest to today.
#[must_use]
pub fn read_day(typed: &str, today: Date) -> Option<Date> {
    let typed = typed.trim().to_lowercase();
    match typed.as_str() {
        "today" => return Some(today),
        "yesterday" => return today.checked_sub(1.day()).ok(),
        "tomorrow" => return today.checked_add(1.day()).ok(),
        _ => {}
    }
    if let Ok(day) = typed.parse() {
        return Some(day);
    }
    let parts: Vec<&str> =
        typed.split(|sign: char| !sign.is_alphanumeric()).filter(|part| !part.is_empty()).collect();
    let (day, month, year) = match parts.as_slice() {
        [day, month] => (day, month, None),
        [day, month, year] => (day, month, Some(year.parse::<i16>().ok()?)),
        _ => return None,
    };
    let day: i8 = day.trim_end_matches(|sign: char| sign.is_ascii_alphabetic()).parse().ok()?;
    let month: i8 = match month.parse() {
        Ok(number) => number,
        Err(_) => {
            let named = |name: &&&str| month.len() >= 3 && name.starts_with(month);
            let place = MONTHS.iter().position(|name| named(&name))?;
            i8::try_from(place).ok()? + 1
        }
    };
    match year {
        Some(year) => Date::new(if year < 100 { year + 2000 } else { year }, month, day).ok(),
        None => [-1, 0, 1]
            .into_iter()
            .filter_map(|later| Date::new(today.year() + later, month, day).ok())
            .min_by_key(|date| (*date - today).get_days().abs()),
    }
}

#[cfg(test)]
mod tests {
    use super::read_day;
    use jiff::civil::date;

    #[test]
    fn a_day_is_read_as_it_is_spoken() {
        let today = date(2026, 11, 25);
        for (typed, wanted) in [
            ("2026-11-03", date(2026, 11, 3)),
            ("3 11 2026", date(2026, 11, 3)),
            ("3.11.2026", date(2026, 11, 3)),
            ("3/11/26", date(2026, 11, 3)),
            ("3 Nov", date(2026, 11, 3)),
            ("3rd November 2026", date(2026, 11, 3)),
            ("8 Jan", date(2027, 1, 8)),
            ("today", today),
            ("Yesterday", date(2026, 11, 24)),
        ] {
            assert_eq!(read_day(typed, today), Some(wanted), "{typed}");
        }
        for typed in ["", "soon", "31 2 2026", "13 13 2026", "3", "1 2 3 4", "3 xyz"] {
            assert_eq!(read_day(typed, today), None, "{typed}");
        }
    }
}
