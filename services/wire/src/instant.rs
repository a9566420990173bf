//! Instants as they travel: RFC 3339, and in no other form that a library would let pass.

use std::fmt;

use jiff::Timestamp;
use serde::de::{Deserializer, Error, Visitor};

/// Reads an instant in the form of RFC 3339: a day, `T`, a time with or without parts of a second, and `Z` or how far
/// the clock is from UTC.
///
/// # Errors
///
/// A sentence for the caller when the text is no instant, or is written in another form.
///
/// ```
/// // The first example of RFC 3339, section 5.8.
/// assert!(wire::instant("1985-04-12T23:20:50.52Z").is_ok());
/// assert_eq!(wire::instant("1996-12-19T16:39:57-08:00"), wire::instant("1996-12-20T00:39:57Z"));
/// assert!(wire::instant("2031-06-07").is_err());
/// assert!(wire::instant("2031-06-07T10:00:00+02:00[Europe/Paris]").is_err());
/// ```
pub fn instant(text: &str) -> Result<Timestamp, &'static str> {
    const FORM: &str = "this is not an instant: write it as RFC 3339 says, such as 2031-06-07T16:20:00Z";
    let (day, time) = text.split_once(['T', 't']).ok_or(FORM)?;
    crate::day(day).map_err(|_| FORM)?;
    let (clock, offset) = match time.find(['Z', 'z', '+', '-']).and_then(|place| time.split_at_checked(place))
    {
        Some((clock, offset)) => (clock, offset),
        None => return Err(FORM),
    };
    let (whole, parts) = clock.split_once('.').map_or((clock, None), |(whole, parts)| (whole, Some(parts)));
    let like = |text: &str, form: &str| {
        text.len() == form.len()
            && text.bytes().zip(form.bytes()).all(|(byte, wanted)| match wanted {
                b'0' => byte.is_ascii_digit(),
                wanted => byte == wanted,
            })
    };
    let parts_fit = parts.is_none_or(|parts| {
        (1..=9).contains(&parts.len()) && parts.bytes().all(|byte| byte.is_ascii_digit())
    });
    let offset_fits = offset.eq_ignore_ascii_case("Z") || like(offset, "+00:00") || like(offset, "-00:00");
    if !like(whole, "00:00:00") || !parts_fit || !offset_fits {
        return Err(FORM);
    }
    text.parse().map_err(|_| FORM)
}

struct Instant;

impl Visitor<'_> for Instant {
    type Value = Timestamp;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("an instant as text, such as \"2031-06-07T16:20:00Z\"")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Timestamp, E> {
        instant(text).map_err(E::custom)
    }
}

/// For members that may hold an instant.
///
/// # Errors
///
/// As [`instant`].
pub fn deserialize_instant_if_any<'de, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<Option<Timestamp>, D::Error> {
    deserializer.deserialize_str(Instant).map(Some)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_standard_form_is_read() {
        for text in ["2031-06-07T16:20:00Z", "2031-06-07t16:20:00z", "2031-06-07T16:20:00.123456789-05:00"] {
            assert!(instant(text).is_ok(), "{text}");
        }
        for text in [
            "",
            "now",
            "2031-06-07 16:20:00Z",
            "2031-06-07T16:20Z",
            "2031-06-07T16:20:00",
            "2031-06-07T16:20:00.Z",
            "2031-06-07T16:20:00,5Z",
            "2031-06-07T16:20:00+0200",
            "2031-06-07T16:20:00+02",
            "2031-06-07T24:20:00Z",
            "2031-02-30T16:20:00Z",
            "20310607T162000Z",
            "2031-06-07T16:20:00Z[UTC]",
            "2031-06-07T16:20:00ZZ",
            "9999-12-31T23:59:59Z\u{e9}",
        ] {
            assert!(instant(text).is_err(), "{text}");
        }
    }
}
