//! A seal: what it states, and the signature over that.

use jiff::Timestamp;
use kernel::{OutfitId, SealId, SealKeyId, SettlementId};
use serde::{Deserialize, Serialize};

use crate::canonical::canonical;
use crate::{CanonicalError, Hash, PublicKey, Signature, SigningKey, Tree};

/// Says that a document is a seal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum SealKind {
    /// It is.
    #[serde(rename = "seal")]
    Seal,
}

/// The forms that a seal has had; the number grows when a member is added.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SealForm;

impl SealForm {
    const NUMBER: u16 = 1;
}

impl Serialize for SealForm {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u16(Self::NUMBER)
    }
}

impl<'de> Deserialize<'de> for SealForm {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match u16::deserialize(deserializer)? {
            Self::NUMBER => Ok(Self),
            other => Err(serde::de::Error::custom(format!("a seal of form {other} is not known here"))),
        }
    }
}

/// What a seal states: these records, in this order, are all that was accepted up to this moment.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = SealStatement))]
pub struct Statement {
    /// That it is a seal: `seal`.
    #[cfg_attr(feature = "openapi", schema(value_type = String, pattern = "^seal$"))]
    pub kind: SealKind,
    /// Its form: 1.
    #[cfg_attr(feature = "openapi", schema(value_type = u16, minimum = 1))]
    pub form: SealForm,
    /// Whose books.
    pub outfit_id: OutfitId,
    /// Its id.
    pub seal_id: SealId,
    /// How many records it covers: accepted tickets and posted settlements.
    pub tree_size: u64,
    /// The root of the Merkle tree over them (RFC 9162, section 2.1.1).
    pub root_hash: Hash,
    /// The settlement with whose posting it was made; absent where it was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub settlement_id: Option<SettlementId>,
    /// The key it is signed with.
    pub seal_key_id: SealKeyId,
    /// The public half of that key.
    pub public_key: PublicKey,
    /// Who made it.
    pub made_by: String,
    /// When, in whole microseconds, as the books keep it.
    pub made_at: Timestamp,
}

impl Statement {
    /// The tree.
    #[must_use]
    pub const fn tree(&self) -> Tree {
        Tree { size: self.tree_size, root: self.root_hash }
    }

    /// What is signed: the statement in canonical form.
    ///
    /// # Errors
    ///
    /// Never: every statement has one.
    pub fn signed_bytes(&self) -> Result<Vec<u8>, CanonicalError> {
        canonical(self)
    }
}

/// A seal: a statement with the signature over its canonical form.
///
/// ```
/// use seal::{Hash, Seal, SealForm, SealKind, SigningKey, Statement};
/// let key = SigningKey::from_seed(&[7; 32])?;
/// let id = "0197a000-0000-7000-8000-000000000001";
/// let seal = Seal::sign(
///     Statement {
///         kind: SealKind::Seal,
///         form: SealForm,
///         outfit_id: id.parse()?,
///         seal_id: id.parse()?,
///         tree_size: 0,
///         root_hash: Hash::of_nothing(),
///         settlement_id: None,
///         seal_key_id: id.parse()?,
///         public_key: key.public(),
///         made_by: "Bookkeeper".to_owned(),
///         made_at: "2026-06-08T13:00:00Z".parse()?,
///     },
///     &key,
/// )?;
/// assert!(seal.is_signed());
/// let mut forged = seal.clone();
/// forged.statement.tree_size = 1;
/// assert!(!forged.is_signed());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Seal {
    /// What it states.
    pub statement: Statement,
    /// The signature over the statement in canonical form (RFC 8785).
    pub signature: Signature,
}

impl Seal {
    /// Signs a statement.
    ///
    /// # Errors
    ///
    /// Never: every statement has a canonical form.
    pub fn sign(statement: Statement, key: &SigningKey) -> Result<Self, CanonicalError> {
        let signature = key.sign(&statement.signed_bytes()?);
        Ok(Self { statement, signature })
    }

    /// Whether the signature was made with the key that the statement names. Whose key that is, it does not say.
    #[must_use]
    pub fn is_signed(&self) -> bool {
        let bytes = self.statement.signed_bytes();
        bytes.is_ok_and(|bytes| self.statement.public_key.has_signed(&bytes, &self.signature))
    }
}
