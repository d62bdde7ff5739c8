//! The one place where the program reads the clock.

use jiff::ZonedDateTime;
use jiff::civil::Date;

/// The time here and now.
#[expect(clippy::disallowed_methods, reason = "the one place where the program reads the clock")]
pub(crate) fn now() -> ZonedDateTime {
    ZonedDateTime::now()
}

/// Writes an instant as the clock on the wall shows it.
pub(crate) fn wall_time(at_ms: i64) -> String {
    let at = jiff::Timestamp::from_millisecond(at_ms).unwrap_or_default();
    at.to_zoned_datetime(now().time_zone().clone()).strftime("%-d %b %Y, %H:%M").to_string()
}

/// Today, here.
pub(crate) fn today() -> Date {
    now().date()
}
