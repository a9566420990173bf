//! Trace context: the two headers of the W3C recommendation "Trace Context" (level 1, with the flag that level 2 adds),
//! by which a request is followed from one program to the next.

use std::fmt;
use std::str::FromStr;

/// Where a request stands in a trace: the value of the header `traceparent`.
///
/// ```
/// use wire::TraceParent;
/// // The example of the recommendation, section 3.2.2.5.
/// let parent: TraceParent = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01".parse()?;
/// assert_eq!(parent.trace_id(), "0af7651916cd43dd8448eb211c80319c");
/// assert_eq!(parent.span_id(), "b7ad6b7169203331");
/// assert!(parent.is_sampled());
/// assert_eq!(parent.to_string(), "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01");
/// # Ok::<(), wire::TraceError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TraceParent {
    trace: u128,
    span: u64,
    flags: u8,
}

/// Why a text is no `traceparent`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TraceError {
    /// Its parts are not there, or not as long as they must be.
    #[error("not of the form 00-<32 digits>-<16 digits>-<2 digits>")]
    Shape,
    /// Something else than the digits 0 to 9 and a to f.
    #[error("its parts are not all hexadecimal digits in small letters")]
    Digits,
    /// The version ff, which is forbidden.
    #[error("the version ff is forbidden")]
    Version,
    /// A trace or a span of zeros only, which names nothing.
    #[error("a trace or a span of zeros names nothing")]
    Nothing,
}

impl TraceError {
    /// The stable name of the problem.
    ///
    /// ```
    /// assert_eq!(wire::TraceError::Version.code(), "trace-version");
    /// ```
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Shape => "trace-shape",
            Self::Digits => "trace-digits",
            Self::Version => "trace-version",
            Self::Nothing => "trace-nothing",
        }
    }
}

/// The flag that says the caller keeps this trace.
const SAMPLED: u8 = 1;
/// The flags that are passed on: sampled, and that the trace's id is random (level 2).
const KNOWN: u8 = 3;

impl TraceParent {
    /// The first span of a trace; none when either id is zero.
    ///
    /// ```
    /// use wire::TraceParent;
    /// assert!(TraceParent::new(1, 1).is_some());
    /// assert!(TraceParent::new(0, 1).is_none());
    /// ```
    #[must_use]
    pub const fn new(trace: u128, span: u64) -> Option<Self> {
        if trace == 0 || span == 0 { None } else { Some(Self { trace, span, flags: 0 }) }
    }

    /// Another span of the same trace, with the same flags; none when its id is zero.
    ///
    /// ```
    /// use wire::TraceParent;
    /// let parent: TraceParent = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01".parse()?;
    /// let own = parent.with_span(1).map(|own| own.to_string());
    /// assert_eq!(own.as_deref(), Some("00-0af7651916cd43dd8448eb211c80319c-0000000000000001-01"));
    /// # Ok::<(), wire::TraceError>(())
    /// ```
    #[must_use]
    pub const fn with_span(self, span: u64) -> Option<Self> {
        if span == 0 { None } else { Some(Self { span, ..self }) }
    }

    /// The trace's id, as 32 hexadecimal digits.
    #[must_use]
    pub fn trace_id(&self) -> String {
        format!("{:032x}", self.trace)
    }

    /// The span's id, as 16 hexadecimal digits.
    #[must_use]
    pub fn span_id(&self) -> String {
        format!("{:016x}", self.span)
    }

    /// Whether the caller keeps this trace.
    #[must_use]
    pub const fn is_sampled(&self) -> bool {
        self.flags & SAMPLED != 0
    }
}

impl fmt::Display for TraceParent {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "00-{:032x}-{:016x}-{:02x}", self.trace, self.span, self.flags)
    }
}

/// Takes off so many digits, small letters only.
fn digits<'a>(parts: &mut impl Iterator<Item = &'a str>, count: usize) -> Result<&'a str, TraceError> {
    let part = parts.next().filter(|part| part.len() == count).ok_or(TraceError::Shape)?;
    let small = |digit: u8| digit.is_ascii_digit() || (b'a'..=b'f').contains(&digit);
    if part.bytes().all(small) { Ok(part) } else { Err(TraceError::Digits) }
}

impl FromStr for TraceParent {
    type Err = TraceError;

    /// Later versions may add parts at the end, and are read as far as they are known (section 4.3).
    fn from_str(text: &str) -> Result<Self, TraceError> {
        let mut parts = text.split('-');
        let version = digits(&mut parts, 2)?;
        if version == "ff" {
            return Err(TraceError::Version);
        }
        let trace = digits(&mut parts, 32)?;
        let span = digits(&mut parts, 16)?;
        let flags = digits(&mut parts, 2)?;
        if version == "00" && parts.next().is_some() {
            return Err(TraceError::Shape);
        }
        let trace = u128::from_str_radix(trace, 16).map_err(|_| TraceError::Digits)?;
        let span = u64::from_str_radix(span, 16).map_err(|_| TraceError::Digits)?;
        let flags = u8::from_str_radix(flags, 16).map_err(|_| TraceError::Digits)? & KNOWN;
        if trace == 0 || span == 0 {
            return Err(TraceError::Nothing);
        }
        Ok(Self { trace, span, flags })
    }
}

/// What tracing systems say to each other along a trace: the value of the header `tracestate`, passed on as it came.
///
/// ```
/// use wire::TraceState;
/// let state = TraceState::from_headers(["rojo=00f067aa0ba902b7", "congo=t61rcWkgMzE"]);
/// assert_eq!(state.as_str(), "rojo=00f067aa0ba902b7,congo=t61rcWkgMzE");
/// assert_eq!(TraceState::from_headers(["no member"]).as_str(), "");
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TraceState(String);

/// Members at the most (section 3.3.1.1).
const MEMBERS: usize = 32;
/// The longest state that is passed on; the recommendation asks for 512 characters at least.
const LONGEST: usize = 512;

impl TraceState {
    /// Reads the headers in their order; what is not good is dropped as a whole, as the recommendation asks.
    ///
    /// ```
    /// // One member twice, which the recommendation forbids.
    /// assert_eq!(wire::TraceState::from_headers(["a=1,a=2"]).as_str(), "");
    /// ```
    #[must_use]
    pub fn from_headers<'a>(headers: impl IntoIterator<Item = &'a str>) -> Self {
        let mut members: Vec<(&str, &str)> = Vec::new();
        for member in headers.into_iter().flat_map(|header| header.split(',')) {
            let member = member.trim_matches([' ', '\t']);
            // Empty members are allowed, and say nothing.
            if member.is_empty() {
                continue;
            }
            match member.split_once('=') {
                Some((key, value))
                    if is_key(key) && is_value(value) && members.iter().all(|(known, _)| *known != key) =>
                {
                    members.push((key, value));
                }
                _ => return Self::default(),
            }
        }
        let text = members.iter().map(|(key, value)| format!("{key}={value}")).collect::<Vec<_>>().join(",");
        if members.len() > MEMBERS || text.len() > LONGEST { Self::default() } else { Self(text) }
    }

    /// The state as one header; empty when there is none.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// A small letter or digit first, then also `_ - * /`; with one `@` between a tenant of at most 241 and a system of at
/// most 14 characters (section 3.3.1.3.1).
fn is_key(key: &str) -> bool {
    let good = |text: &str, most: usize, digit_first: bool| {
        let first = text.bytes().next();
        first.is_some_and(|first| first.is_ascii_lowercase() || (digit_first && first.is_ascii_digit()))
            && text.len() <= most
            && text
                .bytes()
                .all(|one| one.is_ascii_lowercase() || one.is_ascii_digit() || b"_-*/".contains(&one))
    };
    match key.split_once('@') {
        None => good(key, 256, true),
        Some((tenant, system)) => good(tenant, 241, true) && good(system, 14, false),
    }
}

/// Up to 256 visible characters and blanks without `,` and `=`, the last of them no blank (section 3.3.1.3.2).
fn is_value(value: &str) -> bool {
    (1..=256).contains(&value.len())
        && !value.ends_with(' ')
        && value.bytes().all(|one| (0x20..=0x7e).contains(&one) && one != b',' && one != b'=')
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The cases that the recommendation's own test suite tries (names as there; cases written from memory of them).
    fn without_first(text: &str) -> String {
        text.chars().skip(1).collect()
    }

    #[test]
    fn traceparents_are_read_as_the_recommendation_says() {
        const TRACE: &str = "12345678901234567890123456789012";
        const SPAN: &str = "1234567890123456";
        let upper = TRACE.replace('2', "A");
        let cases = [
            ("duplicated or missing", String::new(), Some(TraceError::Shape)),
            ("version 00", format!("00-{TRACE}-{SPAN}-01"), None),
            ("version 00 with more", format!("00-{TRACE}-{SPAN}-01."), Some(TraceError::Shape)),
            (
                "version 00 with another part",
                format!("00-{TRACE}-{SPAN}-01-what-the-future"),
                Some(TraceError::Shape),
            ),
            ("version cc", format!("cc-{TRACE}-{SPAN}-01"), None),
            (
                "version cc with another part",
                format!("cc-{TRACE}-{SPAN}-01-what-the-future-will-be-like"),
                None,
            ),
            ("version cc with more", format!("cc-{TRACE}-{SPAN}-01.what"), Some(TraceError::Shape)),
            ("version ff", format!("ff-{TRACE}-{SPAN}-01"), Some(TraceError::Version)),
            ("illegal version", format!(".0-{TRACE}-{SPAN}-01"), Some(TraceError::Digits)),
            ("version too long", format!("000-{TRACE}-{SPAN}-01"), Some(TraceError::Shape)),
            ("version too short", format!("0-{TRACE}-{SPAN}-01"), Some(TraceError::Shape)),
            ("trace of zeros", format!("00-{}-{SPAN}-01", "0".repeat(32)), Some(TraceError::Nothing)),
            ("illegal trace", format!("00-.{}-{SPAN}-01", without_first(TRACE)), Some(TraceError::Digits)),
            ("trace in capitals", format!("00-{upper}-{SPAN}-01"), Some(TraceError::Digits)),
            ("trace too long", format!("00-{TRACE}3-{SPAN}-01"), Some(TraceError::Shape)),
            ("trace too short", format!("00-{}-{SPAN}-01", without_first(TRACE)), Some(TraceError::Shape)),
            ("span of zeros", format!("00-{TRACE}-{}-01", "0".repeat(16)), Some(TraceError::Nothing)),
            ("illegal span", format!("00-{TRACE}-.{}-01", without_first(SPAN)), Some(TraceError::Digits)),
            ("span too long", format!("00-{TRACE}-{SPAN}7-01"), Some(TraceError::Shape)),
            ("span too short", format!("00-{TRACE}-{}-01", without_first(SPAN)), Some(TraceError::Shape)),
            ("illegal flags", format!("00-{TRACE}-{SPAN}-.0"), Some(TraceError::Digits)),
            ("flags too long", format!("00-{TRACE}-{SPAN}-001"), Some(TraceError::Shape)),
            ("flags too short", format!("00-{TRACE}-{SPAN}-1"), Some(TraceError::Shape)),
            ("flags in capitals", format!("00-{TRACE}-{SPAN}-0A"), Some(TraceError::Digits)),
        ];
        for (name, text, problem) in cases {
            assert_eq!(text.parse::<TraceParent>().err(), problem, "{name}: {text}");
        }
        let unknown_flags: TraceParent = format!("00-{TRACE}-{SPAN}-ff").parse().unwrap();
        assert_eq!(unknown_flags.to_string(), format!("00-{TRACE}-{SPAN}-03"));
    }

    #[test]
    fn states_are_read_as_the_recommendation_says() {
        let long_key = "t".repeat(241) + "@" + &"v".repeat(14);
        let many: Vec<String> = (1..=33).map(|number| format!("b{number:02}=1")).collect();
        let kept = [
            (vec!["foo=1"], "foo=1"),
            (vec!["foo=1,bar=2"], "foo=1,bar=2"),
            (vec!["foo=1", "bar=2"], "foo=1,bar=2"),
            (vec!["foo=1", ""], "foo=1"),
            (vec!["foo=1 \t , \t bar=2, \t baz=3"], "foo=1,bar=2,baz=3"),
            (vec!["foo=1,,,"], "foo=1"),
            (vec!["0foo=1"], "0foo=1"),
            (vec!["foo=1,foo=2"], ""),
            (vec!["foo =1"], ""),
            (vec!["FOO=1"], ""),
            (vec!["foo.bar=1"], ""),
            (vec!["foo@=1,bar=2"], ""),
            (vec!["@foo=1,bar=2"], ""),
            (vec!["foo@@bar=1,bar=2"], ""),
            (vec!["foo@bar@baz=1,bar=2"], ""),
            (vec!["foo=1,zero"], ""),
            (vec!["foo=bar=baz"], ""),
            (vec!["foo=,bar=3"], ""),
        ];
        for (headers, state) in kept {
            assert_eq!(TraceState::from_headers(headers.clone()).as_str(), state, "{headers:?}");
        }
        let longest = format!("{long_key}=1");
        assert_eq!(TraceState::from_headers([longest.as_str()]).as_str(), longest);
        assert_eq!(TraceState::from_headers([format!("t{longest}").as_str()]).as_str(), "");
        let all = many.join(",");
        assert_eq!(TraceState::from_headers([all.as_str()]).as_str(), "");
        assert_eq!(
            TraceState::from_headers(many.iter().take(32).map(String::as_str)).as_str().len(),
            32 * 6 - 1
        );
    }
}
