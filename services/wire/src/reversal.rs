//! Taking back records of money: they stay readable, with who took them back and why.

use jiff::Timestamp;
use kernel::{AdvanceId, ChargeId, JournalEntryId, PaymentId, ReleaseId, ReversalId};
use serde::{Deserialize, Serialize};

use crate::Remark;

/// A record of money.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum MoneyRecord {
    /// A charge.
    ChargeId(ChargeId),
    /// An advance.
    AdvanceId(AdvanceId),
    /// A payment.
    PaymentId(PaymentId),
    /// Holdback that was let go.
    ReleaseId(ReleaseId),
}

/// Takes back a record that should not have been made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ReversalCreate {
    /// The record.
    pub record: MoneyRecord,
    /// Why.
    pub reason: Remark,
}

/// That a record was taken back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ReversalView {
    /// Its id.
    pub reversal_id: ReversalId,
    /// The record.
    pub record: MoneyRecord,
    /// Why.
    pub reason: String,
    /// The journal entry that cancels the record's own. Absent for a charge: what was taken of it is given back by the
    /// next settlement.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub journal_entry_id: Option<JournalEntryId>,
    /// Who took it back.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

/// What a record shows of its having been taken back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ReversedView {
    /// Why.
    pub reason: String,
    /// Who took it back.
    pub reversed_by: String,
    /// When.
    pub reversed_at: Timestamp,
}
