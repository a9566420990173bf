//! The query of an address, part by part.

use actix_web::error::QueryPayloadError;
use actix_web::web;
use serde::de::DeserializeOwned;
use wire::Code;

use super::refusal::Refusal;

/// A query with some of its parts set apart from the rest, both as they came.
#[derive(Debug)]
pub struct Query {
    /// The parts with the names that were asked for.
    pub set_apart: String,
    /// All the others.
    pub rest: String,
}

impl Query {
    /// Sets the parts with these names apart. A part that spells one of them with percent signs is none of them, and is
    /// refused with the unknown ones.
    ///
    /// # Errors
    ///
    /// [`Code::WrongAddress`] for a query that is no list of names and values.
    pub fn split(query: &str, names: &[&str]) -> Result<Self, Refusal> {
        let (set_apart, rest): (Vec<_>, Vec<_>) = query
            .split('&')
            .filter(|part| !part.is_empty())
            .partition(|part| names.contains(&part.split('=').next().unwrap_or_default()));
        Ok(Self { set_apart: set_apart.join("&"), rest: rest.join("&") })
    }

    /// The names and values of the rest.
    ///
    /// # Errors
    ///
    /// [`Code::WrongAddress`] for a query that is no list of names and values.
    pub fn rest_pairs(&self) -> Result<Vec<(String, String)>, Refusal> {
        read(&self.rest)
    }

    /// All names and values, the rest first.
    ///
    /// # Errors
    ///
    /// [`Code::WrongAddress`] for a query that is no list of names and values.
    pub fn pairs(&self) -> Result<Vec<(String, String)>, Refusal> {
        let mut pairs = self.rest_pairs()?;
        pairs.append(&mut read(&self.set_apart)?);
        Ok(pairs)
    }
}

/// The values in a query, of exactly the form an operation takes.
///
/// # Errors
///
/// [`Code::WrongAddress`].
pub fn read<T: DeserializeOwned>(query: &str) -> Result<T, Refusal> {
    web::Query::<T>::from_query(query).map(web::Query::into_inner).map_err(|error| {
        // Not in the words by which the library tells its own kinds of errors apart.
        let says = match &error {
            QueryPayloadError::Deserialize(inside) => inside.to_string(),
            other => other.to_string(),
        };
        Refusal::new(Code::WrongAddress, format!("the query: {says}"))
    })
}

/// A text as it stands in a query: everything but letters, digits and four marks as percent signs and digits
/// (RFC 3986, section 2.3).
#[must_use]
pub fn encoded(text: &str) -> String {
    let mut encoded = String::new();
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            encoded.push(char::from(byte));
        } else {
            encoded.push_str(&format!("%{byte:02X}"));
        }
    }
    encoded
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_set_apart_by_their_names() {
        let query = Query::split("book=A%26B&limit=5&&to=2026-06-06&after=x", &["after", "limit"]).unwrap();
        assert_eq!(
            (query.set_apart.as_str(), query.rest.as_str()),
            ("limit=5&after=x", "book=A%26B&to=2026-06-06")
        );
        let pairs = query.rest_pairs().unwrap();
        assert_eq!(pairs[0], ("book".to_owned(), "A&B".to_owned()));
        assert_eq!(encoded("A&B é"), "A%26B%20%C3%A9");
    }

    #[test]
    fn what_is_missing_is_named_and_nothing_of_the_library() {
        #[derive(Debug, serde::Deserialize)]
        struct Days {
            #[serde(rename = "from")]
            _from: String,
        }
        assert_eq!(read::<Days>("to=1").unwrap_err().problem.detail, "the query: missing field `from`");
    }
}
