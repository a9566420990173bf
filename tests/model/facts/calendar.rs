//! Days and weeks by counting, so that no calendar of the service's decides what the model says.

use std::fmt;

/// Days from Monday, 1 June 2026.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(pub i64);

/// How far local time in Detroit is behind universal time in summer, in hours (daylight saving time, UTC-4).
const BEHIND: i64 = 4;

impl Day {
    /// The Saturday that ends its week. Day 5 is Saturday, 6 June.
    pub fn week_end(self) -> Self {
        let since_sunday = (self.0 + 1).rem_euclid(7);
        Self(self.0 + 6 - since_sunday)
    }

    /// The day on which this hour falls, counted from the first midnight of 1 June in Detroit.
    pub fn at_hour(hour: i64) -> Self {
        Self(hour.div_euclid(24))
    }
}

/// An hour in Detroit as universal time.
pub fn timestamp(hour: i64) -> String {
    let universal = hour + BEHIND;
    format!("{}T{:02}:00:00Z", Day::at_hour(universal), universal.rem_euclid(24))
}

impl fmt::Display for Day {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (month, day) = match self.0 {
            before if before < 0 => (5, 31 + before + 1),
            june if june < 30 => (6, june + 1),
            july => (7, july - 30 + 1),
        };
        assert!((1..=31).contains(&day), "the model's calendar runs from May to July");
        write!(formatter, "2026-{month:02}-{day:02}")
    }
}

impl fmt::Debug for Day {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, formatter)
    }
}

#[test]
fn days_and_weeks_are_counted_right() {
    // 30 May and 6 June 2026 are Saturdays.
    let week_ends: Vec<String> = [-2, -1, 0, 5, 6].map(|day| Day(day).week_end().to_string()).to_vec();
    assert_eq!(week_ends, ["2026-05-30", "2026-06-06", "2026-06-06", "2026-06-06", "2026-06-13"]);
    assert_eq!([Day(29), Day(30)].map(|day| day.to_string()), ["2026-06-30", "2026-07-01"]);
    assert_eq!(timestamp(9), "2026-06-01T13:00:00Z");
    assert_eq!(timestamp(5 * 24 + 23), "2026-06-07T03:00:00Z");
}
