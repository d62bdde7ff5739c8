//! Days and times before now.
//!
//! Something that was so many days ago happened at about this time of day, so many minutes earlier: then it was in
//! working hours whenever somebody is at work now, without knowing the studio's time zone.

use jiff::ToSpan;
use jiff::civil::Date;

const MINUTE_MS: i64 = 60_000;
const DAY_MS: i64 = 24 * 60 * MINUTE_MS;

/// A day of the studio and an instant on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Moment {
    /// The day.
    pub(crate) day: Date,
    /// The instant, milliseconds UTC.
    pub(crate) at_ms: i64,
}

impl Moment {
    /// Returns a moment later on the same day.
    pub(crate) fn later(self, minutes: i64) -> Self {
        Self { at_ms: self.at_ms + minutes * MINUTE_MS, ..self }
    }
}

/// The day and time the studio is told for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Clock {
    today: Date,
    now_ms: i64,
}

impl Clock {
    /// Sets it.
    pub(crate) fn new(today: Date, now_ms: i64) -> Self {
        Self { today, now_ms }
    }

    /// Returns a moment so many days, and on that day so many minutes, before now.
    pub(crate) fn ago(self, days: i32, minutes: i64) -> Moment {
        Moment {
            day: self.today.saturating_sub(days.days()),
            at_ms: self.now_ms - i64::from(days) * DAY_MS - minutes * MINUTE_MS,
        }
    }

    /// Returns the day of birth of somebody who had a birthday so many days ago and became so many years old.
    pub(crate) fn born(self, years: i32, days: i32) -> Date {
        self.today.saturating_sub(days.days()).saturating_sub(years.years())
    }
}

#[cfg(test)]
mod tests {
    use super::Clock;
    use jiff::civil::date;

    #[test]
    fn the_day_and_the_instant_go_back_together() {
        let clock = Clock::new(date(2026, 3, 1), 1_000_000_000_000);
        let visit = clock.ago(1, 90);
        assert_eq!(visit.day, date(2026, 2, 28));
        assert_eq!(visit.at_ms, 1_000_000_000_000 - 86_400_000 - 5_400_000);
        assert_eq!(visit.later(30).at_ms - visit.at_ms, 1_800_000);
    }

    #[test]
    fn a_day_of_birth_gives_the_age_on_every_day() {
        for today in [date(2026, 11, 3), date(2028, 2, 29), date(2027, 1, 1)] {
            let born = Clock::new(today, 0).born(12, 40);
            let had_birthday = (today.month(), today.day()) >= (born.month(), born.day());
            assert_eq!(today.year() - born.year() - i16::from(!had_birthday), 12, "{today}");
        }
    }
}
