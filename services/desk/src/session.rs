//! Who is signed in. The tokens lie sealed in a cookie, so no instance of the service has to remember anybody, and a
//! script of a page cannot read them.

pub mod cookie;
pub mod person;
pub mod seal;

use jiff::SignedDuration;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use wire::{Role, SignedIn};

/// How long before its end an access token is exchanged for the next.
const AHEAD: SignedDuration = SignedDuration::from_secs(60);

/// Somebody's being signed in.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Session {
    /// What the service answered: tokens, name, role.
    pub signed_in: SignedIn,
    /// The outfit's name.
    pub outfit_name: String,
    /// What a form of this session's pages carries, and nobody else's can.
    pub form_key: String,
}

impl Session {
    /// Whether the access token is at its end.
    #[must_use]
    pub fn is_stale(&self, now: Timestamp) -> bool {
        now.checked_add(AHEAD).map_or(true, |soon| self.signed_in.expires_at <= soon)
    }

    /// What they may do.
    #[must_use]
    pub const fn role(&self) -> Role {
        self.signed_in.role
    }
}
