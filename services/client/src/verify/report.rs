//! What was verified: what is shown, what is refuted, and what is left open.

use serde::Serialize;

/// Something that was looked into.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Claim {
    /// Whether it is shown. Otherwise it is refuted.
    pub shown: bool,
    /// What it is, in words.
    pub says: String,
}

impl Claim {
    pub(super) const fn shown(says: String) -> Self {
        Self { shown: true, says }
    }

    pub(super) const fn refuted(says: String) -> Self {
        Self { shown: false, says }
    }
}

/// What came of it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Report {
    /// What was looked into, in order.
    pub claims: Vec<Claim>,
    /// What was not, and nobody should take for shown.
    pub not_shown: Vec<String>,
}

impl Report {
    /// Whether everything that was looked into is shown.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.claims.iter().all(|claim| claim.shown)
    }

    pub(super) fn claim(&mut self, claim: Claim) {
        self.claims.push(claim);
    }

    pub(super) fn note(&mut self, says: String) {
        self.not_shown.push(says);
    }
}
