//! Whose books something is for, and who filed it.

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use kernel::OutfitId;
use serde::{Deserialize, Serialize};

/// Whose books something is for, and who filed it: what is kept for one is never sent as another.
///
/// ```
/// use client::outbox::Owner;
/// let nobody = Owner::of("http://127.0.0.1:7450", None);
/// assert_eq!(nobody, Owner::of("http://127.0.0.1:7450", Some("not readable")));
/// assert_eq!(nobody.to_string(), "whoever it is, at http://127.0.0.1:7450");
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Owner {
    /// Where the service is.
    pub service: String,
    /// The outfit; none where the token does not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outfit_id: Option<OutfitId>,
    /// Who, as records name them; none where the token does not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub subject: Option<String>,
}

/// What a token says of its bearer.
#[derive(Deserialize)]
struct Claims {
    sub: String,
    outfit: Option<OutfitId>,
}

impl Owner {
    /// Whoever the access token says its bearer is (the claims of RFC 7519). It is not checked here: the service does
    /// that when something is sent. A token that is over still says who it was for, so that work goes on without
    /// signal.
    #[must_use]
    pub fn of(service: &str, token: Option<&str>) -> Self {
        let claims = token.and_then(claims);
        let (outfit_id, subject) = claims.map_or((None, None), |claims| (claims.outfit, Some(claims.sub)));
        Self { service: service.to_owned(), outfit_id, subject }
    }

    /// Whether it is for the same books, by whomever it was filed.
    #[must_use]
    pub fn has_books_of(&self, other: &Self) -> bool {
        self.service == other.service && self.outfit_id == other.outfit_id
    }
}

fn claims(token: &str) -> Option<Claims> {
    let said = token.trim().split('.').nth(1)?;
    serde_json::from_slice(&URL_SAFE_NO_PAD.decode(said).ok()?).ok()
}

impl std::fmt::Display for Owner {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{}, at {}", self.subject.as_deref().unwrap_or("whoever it is"), self.service)?;
        match self.outfit_id {
            Some(outfit) => write!(formatter, ", outfit {outfit}"),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_token_says_who_its_bearer_is() {
        let id = "0197a000-0000-7000-8000-000000000001";
        let said = URL_SAFE_NO_PAD.encode(format!(r#"{{"sub":"ida","outfit":"{id}","exp":1}}"#));
        let owner = Owner::of("http://host", Some(&format!("e30.{said}.c2ln\n")));
        assert_eq!((owner.subject.as_deref(), owner.outfit_id), (Some("ida"), Some(id.parse().unwrap())));
        for other in ["", "a.b.c", "a..c", "opaque"] {
            assert_eq!(Owner::of("http://host", Some(other)).subject, None, "{other}");
        }
        let other = Owner { subject: Some("otto".to_owned()), ..owner.clone() };
        assert!(owner.has_books_of(&other) && owner != other);
        assert!(!owner.has_books_of(&Owner { service: "http://other".to_owned(), ..owner.clone() }));
    }
}
