//! The trade's words for what stands in replies: one place for everything that shows them to people.
//!
//! Text on a terminal and papers say the same thing in the same words, because both take them from here.

mod measured;
mod pay;
mod ticket;
mod units;

pub use measured::{defects, refused, sizes, summary};
pub use pay::{adjusted, adjusting, adjustment, supplement, take_off, ticket_names};
pub use ticket::{numbers, turn};
pub use units::{quantity, unit};

use jiff::civil::Date;

/// A day with its weekday.
///
/// ```
/// assert_eq!(wire::words::day(jiff::civil::date(2031, 6, 7)), "Saturday 2031-06-07");
/// ```
#[must_use]
pub fn day(date: Date) -> String {
    date.strftime("%A %Y-%m-%d").to_string()
}

/// A count with its noun.
///
/// ```
/// use wire::words::count;
/// assert_eq!(count(1, "piece", "pieces"), "1 piece");
/// assert_eq!(count(0, "piece", "pieces"), "0 pieces");
/// ```
#[must_use]
pub fn count(count: impl TryInto<i64>, one: &str, more: &str) -> String {
    let count = count.try_into().unwrap_or(i64::MAX);
    format!("{count} {}", if count == 1 { one } else { more })
}
