//! The one grammar for numbers in text, used by JSON, CSV, the command line and the database's documents.
//!
//! A number is an optional minus sign, then `0` or digits that do not begin with `0`, then optionally a point and
//! at least one digit. No plus sign, exponent, grouping, blank or bare point: two people reading the same text must
//! read the same number, and JSON numbers are refused because most readers pass them through binary floating point.

/// Why a text is not a number in Skidway's grammar.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NumberTextError {
    /// The text does not follow the grammar.
    #[error(
        "\"{0}\" is not a plain decimal number: write digits with at most one point, such as \"16\" or \"14.5\""
    )]
    NotPlain(String),
    /// More digits after the point than can be held exactly.
    #[error("\"{0}\" has more than {1} digits after the point")]
    TooFine(String, u32),
    /// The number is outside what can be held.
    #[error("\"{0}\" is too large")]
    TooLarge(String),
}

/// Bytes as hexadecimal digits in small letters, two for each byte.
///
/// ```
/// assert_eq!(kernel::hexadecimal(&[0x00, 0x9f, 0xff]), "009fff");
/// ```
#[must_use]
pub fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The parts of a number that follows the grammar.
pub(crate) struct Parts<'a> {
    pub(crate) negative: bool,
    pub(crate) whole: &'a str,
    pub(crate) decimals: &'a str,
}

/// Splits `text` by the grammar, or says why it cannot.
pub(crate) fn parts(text: &str) -> Result<Parts<'_>, NumberTextError> {
    let refused = || NumberTextError::NotPlain(shortened(text));
    let (negative, unsigned) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text),
    };
    let (whole, decimals) = match unsigned.split_once('.') {
        Some((whole, decimals)) if !decimals.is_empty() => (whole, decimals),
        Some(_) => return Err(refused()),
        None => (unsigned, ""),
    };
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    let leading_zero = whole.len() > 1 && whole.starts_with('0');
    if whole.is_empty() || leading_zero || !digits(whole) || !digits(decimals) {
        return Err(refused());
    }
    Ok(Parts { negative, whole, decimals })
}

/// Error texts repeat the input, but never more of it than a person would want to read.
pub(crate) fn shortened(text: &str) -> String {
    const LONGEST: usize = 40;
    if text.chars().count() <= LONGEST {
        text.to_owned()
    } else {
        text.chars().take(LONGEST).chain("…".chars()).collect()
    }
}
