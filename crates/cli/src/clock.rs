//! The one place where the program reads the clock.

use jiff::ZonedDateTime;
use jiff::civil::Date;

/// The time here and now.
#[expect(clippy::disallowed_methods, reason = "the one place where the program reads the clock")]
pub(crate) fn now() -> ZonedDateTime {
    ZonedDateTime::now()
}

/// Today, here.
pub(crate) fn today() -> Date {
    now().date()
}
