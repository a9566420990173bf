//! Access tokens whose signature was found good: to check it is a good part of the work of a small request, and a caller sends
//! the same token for a quarter of an hour.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

use jiff::Timestamp;
use sha2::{Digest, Sha256};

use super::caller::Caller;

/// How many are remembered. Past that all are forgotten, and checked again as they come.
const MOST: usize = 10_000;

/// What a good token says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KnownToken {
    /// Who sends it.
    pub caller: Caller,
    /// Until when it is good; that may be over.
    pub expires: Timestamp,
}

/// The tokens by their SHA-256: nobody finds a token in this memory.
#[derive(Default)]
pub struct KnownTokens(Mutex<HashMap<[u8; 32], KnownToken>>);

impl KnownTokens {
    /// What a token says that was remembered, every letter of it.
    #[must_use]
    pub fn recall(&self, token: &str) -> Option<KnownToken> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).get(&digest(token)).cloned()
    }

    /// Remembers what a token says. Only for one whose signature is good.
    pub fn remember(&self, token: &str, says: KnownToken) -> KnownToken {
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if known.len() >= MOST {
            known.clear();
        }
        known.insert(digest(token), says.clone());
        says
    }
}

fn digest(token: &str) -> [u8; 32] {
    Sha256::digest(token).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn says(subject: &str) -> KnownToken {
        let caller = Caller::Operator { subject: subject.to_owned() };
        KnownToken { caller, expires: Timestamp::UNIX_EPOCH }
    }

    #[test]
    fn a_token_is_known_by_every_letter_of_it() {
        let known = KnownTokens::default();
        assert_eq!(known.recall("a.b.c"), None);
        known.remember("a.b.c", says("somebody"));
        assert_eq!(known.recall("a.b.c"), Some(says("somebody")));
        for other in ["a.b.d", "a.b.", "a.b.c ", "A.b.c", ""] {
            assert_eq!(known.recall(other), None, "{other}");
        }
    }

    #[test]
    fn it_remembers_no_more_than_it_has_room_for() {
        let known = KnownTokens::default();
        for number in 0..MOST {
            known.remember(&number.to_string(), says("somebody"));
        }
        assert!(known.recall("0").is_some());
        known.remember("one more", says("somebody"));
        assert_eq!((known.recall("0"), known.recall("one more")), (None, Some(says("somebody"))));
    }
}
