//! Seals: everything that was accepted up to a moment, as one signed hash, and what proves something by it.

use ::seal::{Hash, PublicKey, Seal};
use jiff::Timestamp;
use kernel::{SealId, SealKeyId, SettlementId, TicketId};
use serde::{Deserialize, Serialize};

use crate::columns::columns;

/// Asks for a seal over everything that was accepted so far.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SealCreate {}

/// A key that an outfit's seals are signed with.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SealKeyView {
    /// Its id.
    pub seal_key_id: SealKeyId,
    /// Its public half, with which signatures are checked.
    pub public_key: PublicKey,
    /// Who made the seal that it was made for.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

/// That a record is among those a seal covers, exactly as it is (RFC 9162, section 2.1.3).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SealInclusion {
    /// The seal.
    pub seal: Seal,
    /// The record's place among those that are sealed, from 0.
    pub position: u64,
    /// The hash of the record's document.
    pub leaf_hash: Hash,
    /// The hashes that lead from it to the root, the nearest first.
    pub path: Vec<Hash>,
    /// The record as it lies in the books now: its JSON in canonical form (RFC 8785), as a text, so that nobody writes it
    /// otherwise on the way. SHA-256 of a zero byte and this text, in UTF-8, is the hash of the leaf.
    pub document: String,
}

/// That one seal covers the same records as an earlier one, and more (RFC 9162, section 2.1.4).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SealConsistency {
    /// The seal over fewer records.
    pub from: Seal,
    /// The seal over more.
    pub to: Seal,
    /// The hashes that prove it.
    pub path: Vec<Hash>,
}

/// What can be wrong with sealed books.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum SealFault {
    /// The record is not what was sealed.
    RecordChanged,
    /// The record was sealed and is not there.
    RecordGone,
    /// The record holds a number that the service never writes.
    RecordOutOfForm,
    /// The record is dated before a seal that does not cover it.
    RecordSlippedIn,
    /// Leaves are missing from the tree.
    LeavesGone,
    /// The leaves make up another root than the seal states.
    RootDiffers,
    /// The signature does not belong to what the seal states.
    SignatureWrong,
}

impl SealFault {
    /// Its name, as it travels.
    ///
    /// ```
    /// assert_eq!(wire::SealFault::RecordGone.name(), "record_gone");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::RecordChanged => "record_changed",
            Self::RecordGone => "record_gone",
            Self::RecordOutOfForm => "record_out_of_form",
            Self::RecordSlippedIn => "record_slipped_in",
            Self::LeavesGone => "leaves_gone",
            Self::RootDiffers => "root_differs",
            Self::SignatureWrong => "signature_wrong",
        }
    }
}

/// One thing that is wrong.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SealFinding {
    /// What.
    pub fault: SealFault,
    /// The same in words, naming the ticket, the week or the seal.
    pub says: String,
    /// The place among the sealed records, from 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub position: Option<u64>,
    /// The ticket.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ticket_id: Option<TicketId>,
    /// The settlement.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub settlement_id: Option<SettlementId>,
    /// The seal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seal_id: Option<SealId>,
}

/// The books as they lie now, held against a seal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SealCheck {
    /// The seal.
    pub seal: Seal,
    /// Whether nothing is wrong.
    pub sound: bool,
    /// How many records were made into documents again and held against their leaves.
    pub records_checked: u64,
    /// How many seals were held against the leaves: this one, and those over fewer records.
    pub seals_checked: u64,
    /// What is wrong, by place; the first thousand.
    pub findings: Vec<SealFinding>,
    /// How many more there are.
    pub findings_left_out: u64,
    /// When it was checked.
    pub checked_at: Timestamp,
}

columns!(Seal: seal {
    "seal_id" => seal.statement.seal_id,
    "tree_size" => seal.statement.tree_size,
    "root_hash" => seal.statement.root_hash.to_string(),
    "settlement_id" => seal.statement.settlement_id,
    "seal_key_id" => seal.statement.seal_key_id,
    "public_key" => seal.statement.public_key.to_string(),
    "signature" => seal.signature.to_string(),
    "made_by" => seal.statement.made_by,
    "made_at" => seal.statement.made_at,
});

columns!(SealKeyView: key {
    "seal_key_id" => key.seal_key_id,
    "public_key" => key.public_key.to_string(),
    "made_by" => key.made_by,
    "made_at" => key.made_at,
});
