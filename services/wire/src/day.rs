//! Days as they travel: `YYYY-MM-DD`, and in no other form that a library would let pass.

use std::fmt;

use jiff::civil::Date;
use serde::de::{Deserializer, Error, Visitor};

/// Reads a day in the one form that it is written in.
///
/// # Errors
///
/// A sentence for the caller when the text is no day, or is written in another form.
///
/// ```
/// assert!(wire::day("2031-06-07").is_ok());
/// assert!(wire::day("20310607").is_err());
/// assert!(wire::day("2031-02-30").is_err());
/// ```
pub fn day(text: &str) -> Result<Date, &'static str> {
    const FORM: &str = "this is not a day: write it as YYYY-MM-DD, such as 2031-06-07";
    let plain = text.len() == 10
        && text.bytes().enumerate().all(|(place, byte)| match place {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        });
    if plain { text.parse().map_err(|_| FORM) } else { Err(FORM) }
}

struct Day;

impl Visitor<'_> for Day {
    type Value = Date;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("a day as text, such as \"2031-06-07\"")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Date, E> {
        day(text).map_err(E::custom)
    }
}

/// For members that must hold a day.
///
/// # Errors
///
/// As [`day`].
pub fn deserialize_day<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Date, D::Error> {
    deserializer.deserialize_str(Day)
}

/// For members that may hold a day.
///
/// # Errors
///
/// As [`day`].
pub fn deserialize_day_if_any<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<Date>, D::Error> {
    deserialize_day(deserializer).map(Some)
}
