//! Grants of access: who has it, until when, and its revocation; keys for machines.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{AccountId, GrantId, MillId};
use serde::{Deserialize, Serialize};

use crate::{AccessEnded, Name, Remark, Role, Secret};

/// How access was granted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum AccessKind {
    /// Somebody signed in.
    SignIn,
    /// A manager handed out a token.
    Token,
    /// A key for a machine.
    MachineKey,
}

/// Access that was granted. Holds no secret.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AccessGrantView {
    /// Its id.
    pub grant_id: GrantId,
    /// How it was granted.
    pub kind: AccessKind,
    /// Who has it; stands on every record made with it.
    pub subject: String,
    /// What they may do.
    pub role: Role,
    /// The mill they speak for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// The account that was signed in with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub account_id: Option<AccountId>,
    /// What a key may be used for within its role.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scopes: Option<Vec<Scope>>,
    /// The last four characters of a key.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub last_four: Option<String>,
    /// When it ends.
    pub expires_at: Timestamp,
    /// When whoever signed in was last kept so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub refreshed_at: Option<Timestamp>,
    /// Whether it lets anybody in now.
    pub stands: bool,
    /// That it was revoked, or its account closed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub revoked: Option<AccessEnded>,
    /// When it was granted.
    pub made_at: Timestamp,
    /// Who granted it.
    pub made_by: String,
}

/// Revokes access.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct RevocationCreate {
    /// Why.
    pub reason: Remark,
}

/// Why a text is no scope.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("this is no scope: write an area and `read` or `write`, such as tickets:write")]
pub struct ScopeError;

/// What a key may be used for: an area of the API, which is what follows `/v1/` in its paths, and `read` or `write`.
///
/// ```
/// use wire::Scope;
/// let scope = Scope::try_from("tickets:write".to_owned())?;
/// assert_eq!((scope.area(), scope.writes()), ("tickets", true));
/// assert!(Scope::try_from("tickets:*".to_owned()).is_err());
/// # Ok::<(), wire::ScopeError>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Scope {
    area: String,
    writes: bool,
}

impl Scope {
    /// The area.
    #[must_use]
    pub fn area(&self) -> &str {
        &self.area
    }

    /// Whether it lets write; otherwise it lets read.
    #[must_use]
    pub const fn writes(&self) -> bool {
        self.writes
    }
}

impl TryFrom<String> for Scope {
    type Error = ScopeError;

    fn try_from(text: String) -> Result<Self, ScopeError> {
        let (area, what) = text.split_once(':').ok_or(ScopeError)?;
        let known = area.chars().all(|letter| letter.is_ascii_lowercase() || letter == '-');
        let writes = match what {
            "read" => false,
            "write" => true,
            _ => return Err(ScopeError),
        };
        if area.is_empty() || area.len() > 40 || !known {
            return Err(ScopeError);
        }
        Ok(Self { area: area.to_owned(), writes })
    }
}

impl From<Scope> for String {
    fn from(scope: Scope) -> Self {
        scope.to_string()
    }
}

impl std::fmt::Display for Scope {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{}:{}", self.area, if self.writes { "write" } else { "read" })
    }
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for Scope {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        utoipa::openapi::schema::ObjectBuilder::new()
            .schema_type(utoipa::openapi::schema::Type::String)
            .description(Some(
                "An area of the API, which is what follows `/v1/` in its paths, and `read` (GET) or `write` (everything \
                 else). Areas about access itself have no scopes.",
            ))
            .pattern(Some("^[a-z-]{1,40}:(read|write)$"))
            .into()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for Scope {}

/// Makes a key for a machine.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MachineKeyCreate {
    /// What the machine is called; stands on every record it makes.
    pub name: Name,
    /// What it may do.
    pub role: Role,
    /// Which mill it speaks for; with the role `mill`, and only with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// What it may be used for within its role: at least one.
    pub scopes: Vec<Scope>,
    /// The last day it is good, where the outfit is; at most 400 days from now.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub expires_on: Date,
}

/// A key for a machine, shown this once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MachineKeyMade {
    /// The key: the machine sends it as `Authorization: Bearer …`.
    pub secret: Secret,
    /// What was granted with it.
    pub grant: AccessGrantView,
}

/// A public key that access tokens are checked with (RFC 8037, an octet key pair of Ed25519).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TokenKey {
    /// `OKP`.
    pub kty: String,
    /// `Ed25519`.
    pub crv: String,
    /// `EdDSA`.
    pub alg: String,
    /// `sig`.
    #[serde(rename = "use")]
    pub used_for: String,
    /// Its thumbprint (RFC 7638), which the header of a token names.
    pub kid: String,
    /// The key, in base64 for addresses.
    pub x: String,
}

/// The public keys that access tokens are checked with (RFC 7517): the one that signs first, then those that have
/// signed before.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TokenKeys {
    /// The keys.
    pub keys: Vec<TokenKey>,
}
