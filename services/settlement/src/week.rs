//! Settlement weeks, each known by its last day.

use std::fmt;

use jiff::ToSpan;
use jiff::civil::{Date, Weekday};
use serde::{Deserialize, Serialize};

/// The last day of the week that `date` falls in, for weeks that end on `ends_on`.
///
/// In the last days of the year 9999, where the calendar stops before the week does, it is the calendar's last day.
///
/// ```
/// use jiff::civil::{Weekday, date};
/// use settlement::week_ending;
/// assert_eq!(week_ending(date(2031, 6, 4), Weekday::Saturday), date(2031, 6, 7));
/// assert_eq!(week_ending(date(2031, 6, 7), Weekday::Saturday), date(2031, 6, 7));
/// assert_eq!(week_ending(date(2031, 6, 8), Weekday::Saturday), date(2031, 6, 14));
/// ```
#[must_use]
pub fn week_ending(date: Date, ends_on: Weekday) -> Date {
    let days_left = date.weekday().until(ends_on);
    date.saturating_add(i64::from(days_left).days())
}

/// A settlement week: seven days, known by the last of them.
///
/// ```
/// use jiff::civil::{Weekday, date};
/// use settlement::Week;
/// let week = Week::containing(date(2031, 6, 4), Weekday::Saturday);
/// assert_eq!((week.first_day(), week.last_day()), (date(2031, 6, 1), date(2031, 6, 7)));
/// assert!(week.contains(date(2031, 6, 1)) && !week.contains(date(2031, 6, 8)));
/// assert_eq!(week.to_string(), "the week ending 2031-06-07");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Week(Date);

impl Week {
    /// The week that a day falls in, for weeks that end on `ends_on`.
    ///
    /// ```
    /// use jiff::civil::{Weekday, date};
    /// let week = settlement::Week::containing(date(2031, 12, 31), Weekday::Sunday);
    /// assert_eq!(week.last_day(), date(2032, 1, 4));
    /// ```
    #[must_use]
    pub fn containing(date: Date, ends_on: Weekday) -> Self {
        Self(week_ending(date, ends_on))
    }

    /// The week whose last day is known.
    ///
    /// ```
    /// use jiff::civil::date;
    /// assert_eq!(settlement::Week::ending(date(2031, 6, 7)).first_day(), date(2031, 6, 1));
    /// ```
    #[must_use]
    pub const fn ending(last_day: Date) -> Self {
        Self(last_day)
    }

    /// Its first day.
    ///
    /// ```
    /// use jiff::civil::date;
    /// assert_eq!(settlement::Week::ending(date(2031, 3, 2)).first_day(), date(2031, 2, 24));
    /// ```
    #[must_use]
    pub fn first_day(self) -> Date {
        self.0.saturating_sub(6.days())
    }

    /// Its last day.
    ///
    /// ```
    /// use jiff::civil::date;
    /// assert_eq!(settlement::Week::ending(date(2031, 3, 2)).last_day(), date(2031, 3, 2));
    /// ```
    #[must_use]
    pub const fn last_day(self) -> Date {
        self.0
    }

    /// Whether a day falls in it.
    ///
    /// ```
    /// use jiff::civil::date;
    /// assert!(settlement::Week::ending(date(2031, 6, 7)).contains(date(2031, 6, 4)));
    /// ```
    #[must_use]
    pub fn contains(self, date: Date) -> bool {
        self.first_day() <= date && date <= self.last_day()
    }
}

impl fmt::Display for Week {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "the week ending {}", self.0)
    }
}
