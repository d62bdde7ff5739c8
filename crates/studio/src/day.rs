//! Days as a person types them: `3 11 2026`, `3 Nov`, `yesterday`, `2026-11-03`.

use jiff::ToSpan;
use jiff::civil::Date;
use sheet::DateLanguage;

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

/// Reads a day; day before month, as it is spoken here, unless the month stands first in letters.
///
/// The month can be named in any language the house writes days in. Without a year it is the one nearest to today.
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
        [month, day, rest @ ..] if month.parse::<i8>().is_err() && month_named(month).is_some() => match rest
        {
            [] => (day, month, None),
            [year] => (day, month, Some(year.parse::<i16>().ok()?)),
            _ => return None,
        },
        [day, month] => (day, month, None),
        [day, month, year] => (day, month, Some(year.parse::<i16>().ok()?)),
        _ => return None,
    };
    let day: i8 = day.trim_end_matches(|sign: char| sign.is_ascii_alphabetic()).parse().ok()?;
    let month: i8 = match month.parse() {
        Ok(number) => number,
        Err(_) => month_named(month)?,
    };
    match year {
        Some(year) => Date::new(if year < 100 { year + 2000 } else { year }, month, day).ok(),
        None => [-1, 0, 1]
            .into_iter()
            .filter_map(|later| Date::new(today.year() + later, month, day).ok())
            .min_by_key(|date| (*date - today).get_days().abs()),
    }
}

/// The month a word of three letters or more begins, when it begins one alone.
fn month_named(word: &str) -> Option<i8> {
    if word.chars().count() < 3 {
        return None;
    }
    let short = DateLanguage::ALL.map(DateLanguage::months);
    let lists = std::iter::once(&MONTHS).chain(&short);
    let mut found: Vec<usize> = lists
        .flat_map(|months| months.iter().enumerate())
        .filter(|(_, name)| {
            let name = name.to_lowercase();
            // a short name may be written out: Okt, Oktober
            name.starts_with(word) || word.starts_with(name.trim_end_matches('.'))
        })
        .map(|(place, _)| place)
        .collect();
    found.sort_unstable();
    found.dedup();
    match found.as_slice() {
        [place] => i8::try_from(place + 1).ok(),
        _ => None,
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
            ("Nov 3, 2026", date(2026, 11, 3)),
            ("3 octobre 2026", date(2026, 10, 3)),
            ("3. Dezember", date(2026, 12, 3)),
            ("3 lis 2026", date(2026, 11, 3)),
            ("today", today),
            ("Yesterday", date(2026, 11, 24)),
        ] {
            assert_eq!(read_day(typed, today), Some(wanted), "{typed}");
        }
        for language in sheet::DateLanguage::ALL {
            for month in 1..=12 {
                let day = date(2026, month, 3);
                assert_eq!(read_day(&language.day(day), today), Some(day), "{}", language.day(day));
            }
        }
        for typed in ["", "soon", "31 2 2026", "13 13 2026", "3", "1 2 3 4", "3 xyz", "3 jui 2026", "Nov"] {
            assert_eq!(read_day(typed, today), None, "{typed}");
        }
    }
}
