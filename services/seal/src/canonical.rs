//! The one form in which a document is hashed and signed (RFC 8785).

use serde::Serialize;
use serde_json::{Number, Value};

/// A document that has no canonical form.
#[derive(Debug, thiserror::Error)]
#[error("the document has no canonical form: {0}")]
pub struct CanonicalError(#[from] serde_json::Error);

/// A document in canonical form: its members sorted, no blanks, numbers as ECMAScript writes them.
///
/// # Errors
///
/// [`CanonicalError`] when the document is no JSON.
///
/// ```
/// let document: serde_json::Value = serde_json::from_str(r#"{"b": [1, "€"], "a": null}"#)?;
/// assert_eq!(seal::canonical(&document)?, r#"{"a":null,"b":[1,"€"]}"#.as_bytes());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn canonical(document: &impl Serialize) -> Result<Vec<u8>, CanonicalError> {
    Ok(serde_json_canonicalizer::to_vec(document)?)
}

/// The largest whole number that no other one is mistaken for in canonical form: 2^53 - 1 (RFC 7493, section 2.2).
const LARGEST: u64 = (1 << 53) - 1;

/// The place (RFC 6901) of the first number in a document that is not a whole number within 2^53, if there is one.
///
/// Canonical form writes numbers as binary floating point, in which `1` and `1.0` are the same, and so are whole numbers
/// beyond 2^53 and their neighbours. A sealed record holds none of these: whatever is measured or paid is text.
///
/// ```
/// use serde_json::json;
/// assert_eq!(seal::inexact_number(&json!({"a": [1, "1.5", -7]})), None);
/// assert_eq!(seal::inexact_number(&json!({"a": [1, 1.0]})).as_deref(), Some("/a/1"));
/// assert_eq!(seal::inexact_number(&json!(9007199254740992_u64)).as_deref(), Some(""));
/// ```
#[must_use]
pub fn inexact_number(document: &Value) -> Option<String> {
    match document {
        Value::Number(number) => (!is_exact(number)).then(String::new),
        Value::Array(items) => {
            let places = items.iter().enumerate();
            places.into_iter().find_map(|(place, item)| Some(format!("/{place}{}", inexact_number(item)?)))
        }
        Value::Object(members) => members.iter().find_map(|(name, value)| {
            let name = name.replace('~', "~0").replace('/', "~1");
            Some(format!("/{name}{}", inexact_number(value)?))
        }),
        Value::Null | Value::Bool(_) | Value::String(_) => None,
    }
}

fn is_exact(number: &Number) -> bool {
    let size = number.as_u64().or_else(|| number.as_i64().map(i64::unsigned_abs));
    size.is_some_and(|size| size <= LARGEST)
}
