//! Accounts: people who sign in with a name and a password.

use jiff::Timestamp;
use kernel::{AccountId, MillId, OutfitId};
use serde::{Deserialize, Serialize};

use crate::{Name, NewPassword, Remark, Role, Secret};

/// Why a text is no name to sign in with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "this is no name to sign in with: write 1 to 64 letters a to z, digits, or any of . _ - @ +, beginning with a \
     letter or digit"
)]
pub struct AccountNameError;

/// What somebody signs in with: 1 to 64 letters, digits or `. _ - @ +`, beginning with a letter or digit. Small and
/// large letters are the same.
///
/// ```
/// use wire::AccountName;
/// assert_eq!(AccountName::try_from("Ida.Holmquill".to_owned())?.as_str(), "ida.holmquill");
/// assert!(AccountName::try_from("Ida Holmquill".to_owned()).is_err());
/// # Ok::<(), wire::AccountNameError>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct AccountName(String);

impl AccountName {
    /// The name, in small letters.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl TryFrom<String> for AccountName {
    type Error = AccountNameError;

    fn try_from(text: String) -> Result<Self, AccountNameError> {
        let name = text.trim().to_ascii_lowercase();
        let first = name.chars().next().is_some_and(|letter| letter.is_ascii_alphanumeric());
        let known = |letter: char| letter.is_ascii_alphanumeric() || "._-@+".contains(letter);
        if first && name.len() <= 64 && name.chars().all(known) {
            Ok(Self(name))
        } else {
            Err(AccountNameError)
        }
    }
}

impl From<AccountName> for String {
    fn from(name: AccountName) -> Self {
        name.0
    }
}

impl std::fmt::Display for AccountName {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(&self.0)
    }
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for AccountName {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        utoipa::openapi::schema::ObjectBuilder::new()
            .schema_type(utoipa::openapi::schema::Type::String)
            .description(Some(
                "What somebody signs in with: letters, digits or . _ - @ +, beginning with a letter or digit. Small \
                 and large letters are the same.",
            ))
            .pattern(Some("^[A-Za-z0-9][A-Za-z0-9._@+-]{0,63}$"))
            .min_length(Some(1))
            .max_length(Some(64))
            .into()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for AccountName {}

/// Whom an OpenID Connect issuer means by an identity token.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ExternalIdentity {
    /// The issuer, as its tokens say it in `iss`.
    pub issuer: Remark,
    /// The person, as its tokens say it in `sub`.
    pub subject: Remark,
}

/// Registers somebody who will sign in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AccountCreate {
    /// What they sign in with, unique in the outfit; stands on every record they make.
    pub name: AccountName,
    /// Who it is, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub says: Option<Name>,
    /// What they may do.
    pub role: Role,
    /// Which mill they speak for; with the role `mill`, and only with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// By whom else they are known, to sign in by that.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub external: Option<ExternalIdentity>,
}

/// That something does not hold any more, and the reason.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AccessEnded {
    /// Why.
    pub reason: String,
    /// Who ended it.
    pub ended_by: String,
    /// When.
    pub ended_at: Timestamp,
}

/// An account.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AccountView {
    /// Its id.
    pub account_id: AccountId,
    /// What its owner signs in with.
    pub name: String,
    /// Who it is, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub says: Option<String>,
    /// What they may do.
    pub role: Role,
    /// The mill they speak for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// By whom else they are known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub external: Option<ExternalIdentity>,
    /// Whether they have set a password.
    pub has_password: bool,
    /// Until when the enrolment code that was given out last can set a password; absent when it was used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub enrolment_expires_at: Option<Timestamp>,
    /// That the account is closed: nobody signs in with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub closed: Option<AccessEnded>,
    /// When it was registered.
    pub made_at: Timestamp,
    /// Who registered it.
    pub made_by: String,
}

/// Leave to set a password once, shown this once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct EnrolmentView {
    /// The outfit, which the person names when they set the password.
    pub outfit_id: OutfitId,
    /// The account.
    pub account_id: AccountId,
    /// The code: hand it to the person, by another way than their name.
    pub enrolment_code: Secret,
    /// Until when it is good. A newer code takes its place before that.
    pub expires_at: Timestamp,
}

/// An account that was just registered, and leave to set its password.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AccountRegistered {
    /// The account.
    pub account: AccountView,
    /// Leave to set its password.
    pub enrolment: EnrolmentView,
}

/// Gives leave to set an account's password anew.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct EnrolmentCreate {
    /// Why, for whoever looks into it later.
    pub reason: Remark,
}

/// Closes an account.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ClosureCreate {
    /// Why.
    pub reason: Remark,
}

/// Sets a password.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PasswordCreate {
    /// The outfit, as it stands with the code.
    pub outfit_id: OutfitId,
    /// The code that the manager handed over. Blanks, hyphens and the size of letters do not matter.
    pub enrolment_code: Secret,
    /// The password.
    pub password: NewPassword,
}

/// A password was set.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PasswordSet {
    /// The account.
    pub account_id: AccountId,
    /// What to sign in with.
    pub name: String,
}
