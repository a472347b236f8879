//! The time that goes into the book, the log and the sheet.

use std::time::Duration;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

/// How long a second writer waits for the first.
pub(super) const WAIT: Duration = Duration::from_secs(5);

/// Now; `CLAMPBOOK_NOW` (ISO 8601 with Z) stands in for the clock, so that an
/// answer with a date in it can be tested.
pub(super) fn now() -> Timestamp {
    let set = std::env::var("CLAMPBOOK_NOW").ok().and_then(|now| now.parse().ok());
    set.unwrap_or_else(Timestamp::now)
}

/// Now to the second: nobody reads a wrench finer than that.
pub(super) fn to_the_second() -> Timestamp {
    let now = now();
    Timestamp::from_second(now.as_second()).unwrap_or(now)
}

pub(super) fn today() -> Date {
    now().to_zoned_datetime(TimeZone::UTC).date()
}

/// The time as the reader's clock shows it.
pub(super) fn shown() -> String {
    now().to_zoned_datetime(TimeZone::system()).strftime("%Y-%m-%d %H:%M").to_string()
}
