//! Who may do what, and the tokens that say so.

use jiff::Timestamp;
use kernel::{GrantId, MillId};
use serde::{Deserialize, Serialize};

use crate::Name;

/// What a caller is to the outfit; decides which operations are open to them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Role {
    /// Posts tickets from the yard.
    Scaler,
    /// Keeps the books: corrections, settlements, statements.
    Bookkeeper,
    /// Audits volume against pay, both ways.
    Contractor,
    /// A mill: sees what was delivered to it and what it owes, nothing else.
    Mill,
    /// Runs the outfit: everything within it.
    Manager,
    /// Runs the service: opens the books of new outfits, and sees none of them.
    Operator,
}

impl Role {
    /// The name used in JSON.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Scaler => "scaler",
            Self::Bookkeeper => "bookkeeper",
            Self::Contractor => "contractor",
            Self::Mill => "mill",
            Self::Manager => "manager",
            Self::Operator => "operator",
        }
    }

    /// The role of this name.
    ///
    /// ```
    /// use wire::Role;
    /// assert_eq!(Role::named("scaler"), Some(Role::Scaler));
    /// assert_eq!(Role::named("owner"), None);
    /// ```
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        let all =
            [Self::Scaler, Self::Bookkeeper, Self::Contractor, Self::Mill, Self::Manager, Self::Operator];
        all.into_iter().find(|role| role.name() == name)
    }
}

/// Asks for a token for somebody of the outfit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AccessTokenCreate {
    /// Who will use it; stands on every record made with it.
    pub subject: Name,
    /// What they may do.
    pub role: Role,
    /// Which mill they speak for; with the role `mill`, and only with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// How long it is good for, in minutes: 1 to 1440. Eight hours when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<u16>,
}

/// A token, shown this once.
#[derive(Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AccessTokenView {
    /// The token: send it as `Authorization: Bearer …`.
    pub access_token: String,
    /// What is revoked to end it before its time.
    pub grant_id: GrantId,
    /// Who it is for.
    pub subject: String,
    /// What they may do.
    pub role: Role,
    /// When it stops being good.
    pub expires_at: Timestamp,
}

impl std::fmt::Debug for AccessTokenView {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter
            .debug_struct("AccessTokenView")
            .field("access_token", &"(hidden)")
            .field("grant_id", &self.grant_id)
            .field("subject", &self.subject)
            .field("role", &self.role)
            .field("expires_at", &self.expires_at)
            .finish()
    }
}
