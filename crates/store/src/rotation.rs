//! Which copies are kept: enough to go back an hour, a day, a week, and never so few that none is left.

use jiff::ToSpan;
use jiff::civil::{DateTime, ISOWeekDate};
use std::collections::BTreeSet;

/// Why a copy was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Why {
    /// Someone asked for it; it is never removed by itself.
    Hand,
    /// The first of a day.
    Day,
    /// Something was written since the last.
    Hour,
    /// Before the file was upgraded.
    Upgrade,
    /// Before golfers or clubs were taken in from a file.
    Import,
    /// Before a golfer was forgotten.
    Forget,
}

/// How many of each kind are kept. House choice.
const HOURS: usize = 24;
const DAYS: usize = 14;
const WEEKS: usize = 8;
const UPGRADES: usize = 3;
const IMPORTS: usize = 3;
const FORGETTINGS: usize = 3;
/// No copy but one somebody asked for is older than this: it may hold a golfer who was forgotten. House choice, days.
const OLDEST: i64 = 90;

impl Why {
    const ALL: [Self; 6] = [Self::Hand, Self::Day, Self::Hour, Self::Upgrade, Self::Import, Self::Forget];

    fn word(self) -> &'static str {
        match self {
            Self::Hand => "hand",
            Self::Day => "day",
            Self::Hour => "hour",
            Self::Upgrade => "upgrade",
            Self::Import => "import",
            Self::Forget => "forget",
        }
    }

    /// Reads from the name of a copy of a studio why and when it was made; `None` for any other file.
    pub(crate) fn and_time_of(studio: &str, name: &str) -> Option<(Self, DateTime)> {
        let dated = name.strip_prefix(studio)?.strip_prefix('-')?;
        let (stamp, word) = dated.strip_suffix(".db")?.rsplit_once('-')?;
        let why = Self::ALL.into_iter().find(|why| why.word() == word)?;
        Some((why, DateTime::strptime("%Y%m%d-%H%M%S-%3f", stamp).ok()?))
    }
}

/// The name of a copy of a studio: several in one folder have copies of their own.
pub(crate) fn file_name(studio: &str, why: Why, now: DateTime) -> String {
    format!("{studio}-{}-{}.db", now.strftime("%Y%m%d-%H%M%S-%3f"), why.word())
}

/// Finds the copies that are no longer needed. None are while the clock stands before the newest of them: it may be
/// wrong, and what looks old may be new.
pub(crate) fn superfluous<'n>(studio: &str, names: &'n [String], now: DateTime) -> Vec<&'n str> {
    let mut copies: Vec<(Why, DateTime, &str)> = names
        .iter()
        .filter_map(|name| Why::and_time_of(studio, name).map(|(why, at)| (why, at, name.as_str())))
        .collect();
    copies.sort_by(|(_, a, _), (_, b, _)| b.cmp(a));
    if copies.first().is_none_or(|(_, newest, _)| *newest > now) {
        return Vec::new();
    }
    let mut kept: BTreeSet<&str> = BTreeSet::new();
    let of = |kind: Why| copies.iter().filter(move |(why, _, _)| *why == kind);
    kept.extend(of(Why::Hand).map(|(_, _, name)| *name));
    kept.extend(of(Why::Hour).take(HOURS).map(|(_, _, name)| *name));
    kept.extend(of(Why::Day).take(DAYS).map(|(_, _, name)| *name));
    kept.extend(of(Why::Upgrade).take(UPGRADES).map(|(_, _, name)| *name));
    kept.extend(of(Why::Import).take(IMPORTS).map(|(_, _, name)| *name));
    kept.extend(of(Why::Forget).take(FORGETTINGS).map(|(_, _, name)| *name));
    // the first copy of each of the last weeks
    let mut weeks: Vec<(ISOWeekDate, &str)> = Vec::new();
    for (_, at, name) in of(Why::Day) {
        let week = at.date().iso_week_date();
        match weeks.last_mut() {
            Some((known, first)) if known.year() == week.year() && known.week() == week.week() => {
                *first = name;
            }
            _ => weeks.push((week, name)),
        }
    }
    kept.extend(weeks.into_iter().take(WEEKS).map(|(_, name)| name));
    let newest = copies.first().map(|(_, _, name)| *name);
    let is_old = |why: Why, at: DateTime| why != Why::Hand && at < now.saturating_sub(OLDEST.days());
    let goes = |(why, at, name): &&(Why, DateTime, &str)| {
        Some(*name) != newest && (!kept.contains(name) || is_old(*why, *at))
    };
    copies.iter().filter(goes).map(|(_, _, name)| *name).collect()
}

#[cfg(test)]
mod tests {
    use super::{Why, file_name, superfluous};
    use jiff::ToSpan;
    use jiff::civil::{DateTime, date};

    fn now() -> DateTime {
        date(2026, 11, 25).at(18, 0, 0, 0)
    }

    #[test]
    fn a_name_says_why_and_when() {
        let name = file_name("studio", Why::Day, now());
        assert_eq!(name, "studio-20261125-180000-000-day.db");
        assert_eq!(Why::and_time_of("studio", &name), Some((Why::Day, now())));
        for other in [
            "studio.db",
            "studio-20261125-180000-000-day.partial",
            "letter-day.db",
            "studio-soon-day.db",
            "other-20261125-180000-000-day.db",
            "studio-2-20261125-180000-000-day.db",
        ] {
            assert_eq!(Why::and_time_of("studio", other), None, "{other}");
        }
    }

    /// A year of copies, one each day and one each hour of the last three days.
    #[test]
    fn enough_is_kept_to_go_back_an_hour_a_day_and_a_week() {
        let mut names: Vec<String> = (0..365)
            .map(|days| file_name("studio", Why::Day, now().checked_sub(days.days()).unwrap()))
            .collect();
        names.extend(
            (0..72).map(|hours| file_name("studio", Why::Hour, now().checked_sub(hours.hours()).unwrap())),
        );
        names.extend(
            (0..5).map(|days| {
                file_name("studio", Why::Upgrade, now().checked_sub((days * 40).days()).unwrap())
            }),
        );
        names.extend(
            (0..5).map(|days| file_name("studio", Why::Import, now().checked_sub(days.days()).unwrap())),
        );
        names.push(file_name("studio", Why::Hand, now().checked_sub(300.days()).unwrap()));
        names.push("letter.txt".to_owned());
        let gone = superfluous("studio", &names, now());
        let kept = |why: Why| {
            let left = names.iter().filter(|name| !gone.contains(&name.as_str()));
            left.filter(|name| Why::and_time_of("studio", name).is_some_and(|(kind, _)| kind == why)).count()
        };
        assert_eq!(kept(Why::Hour), 24);
        assert_eq!(kept(Why::Upgrade), 3);
        assert_eq!(kept(Why::Import), 3);
        assert_eq!(kept(Why::Hand), 1);
        // 14 days, and the first of each of the last 8 weeks: those of this and the last week are among the days
        assert_eq!(kept(Why::Day), 14 + 8 - 2);
        assert!(!gone.contains(&"letter.txt"));
        assert!(!gone.contains(&names[0].as_str()), "the newest stays");
    }

    #[test]
    fn with_a_clock_that_runs_behind_nothing_is_removed() {
        let names: Vec<String> = (0..60)
            .map(|days| file_name("studio", Why::Day, now().checked_sub(days.days()).unwrap()))
            .collect();
        assert!(!superfluous("studio", &names, now()).is_empty());
        assert!(superfluous("studio", &names, now().checked_sub(1.days()).unwrap()).is_empty());
    }
}
