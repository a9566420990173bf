//! Signing in and out.

use jiff::Timestamp;
use kernel::{GrantId, MillId, OutfitId};
use serde::{Deserialize, Serialize};

use crate::{AccountName, Role, Secret};

/// Signs in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SignInCreate {
    /// The outfit.
    pub outfit_id: OutfitId,
    /// The account's name.
    pub name: AccountName,
    /// The password.
    pub password: Secret,
}

/// Signs in by what an OpenID Connect issuer says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ExternalSignInCreate {
    /// The outfit.
    pub outfit_id: OutfitId,
    /// The issuer's identity token.
    pub id_token: Secret,
}

/// Exchanges a refresh token, or ends what it keeps up.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct RefreshTokenSent {
    /// The newest refresh token.
    pub refresh_token: Secret,
}

/// Somebody is signed in. The tokens are shown this once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SignedIn {
    /// Send it as `Authorization: Bearer …`.
    pub access_token: Secret,
    /// When the access token stops being good: 15 minutes from now.
    pub expires_at: Timestamp,
    /// Exchange it for the next pair of tokens before or after that. It is good once.
    pub refresh_token: Secret,
    /// When the refresh token stops being good.
    pub refresh_expires_at: Timestamp,
    /// When signing in again is needed in any case.
    pub sign_in_expires_at: Timestamp,
    /// What is revoked to end it.
    pub grant_id: GrantId,
    /// The outfit.
    pub outfit_id: OutfitId,
    /// Who it is, as records will name them.
    pub subject: String,
    /// What they may do.
    pub role: Role,
    /// The mill they speak for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
}

/// Somebody is signed out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SignedOut {
    /// What had been granted by signing in.
    pub grant_id: GrantId,
}
