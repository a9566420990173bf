//! Which form of an answer a caller would rather have: the header `Accept` (RFC 9110, section 12.5.1).

use wire::ListFormat;

/// CSV where the header likes it better than JSON; JSON otherwise, also where the header cannot be read.
///
/// A quality counts in thousandths, the finest that the standard knows.
#[must_use]
pub fn preferred(accept: &str) -> ListFormat {
    if quality(accept, "text", "csv") > quality(accept, "application", "json") {
        ListFormat::Csv
    } else {
        ListFormat::Json
    }
}

/// How much a media type is liked: by the most exact range that has it.
fn quality(accept: &str, kind: &str, subtype: &str) -> u16 {
    let ranges = accept.split(',').filter_map(|range| {
        let mut parts = range.split(';').map(str::trim);
        let exactness = match parts.next()?.split_once('/')? {
            (one, other) if one.eq_ignore_ascii_case(kind) && other.eq_ignore_ascii_case(subtype) => 2,
            (one, "*") if one.eq_ignore_ascii_case(kind) => 1,
            ("*", "*") => 0,
            _ => return None,
        };
        let weight = parts.find_map(|part| part.strip_prefix("q=").or_else(|| part.strip_prefix("Q=")));
        Some((exactness, weight.map_or(Some(1_000), thousandths)?))
    });
    ranges.max().map_or(0, |(_, quality)| quality)
}

/// A weight: 0 to 1 with at most three decimals.
fn thousandths(weight: &str) -> Option<u16> {
    let (whole, part) = weight.split_once('.').unwrap_or((weight, ""));
    if part.len() > 3 || !part.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let part: u16 = format!("{part:0<3}").parse().ok()?;
    match (whole, part) {
        ("0", part) => Some(part),
        ("1", 0) => Some(1_000),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn csv_is_for_those_who_like_it_better() {
        for accept in [
            "text/csv",
            "TEXT/CSV; charset=utf-8",
            "text/csv, application/json;q=0.9",
            "text/*",
            "text/csv;header=present;q=0.5, */*;q=0.1",
            "application/json;q=0, text/csv;q=0.001",
        ] {
            assert_eq!(preferred(accept), ListFormat::Csv, "{accept}");
        }
        for accept in [
            "",
            "*/*",
            "application/json",
            "application/json, text/csv",
            "text/csv;q=0",
            "text/csv;q=0, text/*",
            "text/html,application/xhtml+xml,*/*;q=0.8",
            "text/csv;q=2",
            "text/csv;q=0.1234",
            "csv",
            "image/png",
        ] {
            assert_eq!(preferred(accept), ListFormat::Json, "{accept}");
        }
    }
}
