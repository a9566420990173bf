//! Advances: money handed to workers before it was earned.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{AdvanceId, JournalEntryId, Money, WorkerId};
use serde::{Deserialize, Serialize};
use settlement::{Amount, Recovery};

use crate::columns::columns;
use crate::{PayeeView, Remark, ReversedView};

/// Records an advance. How far it may be recovered from wages is for local law and a licensed professional to decide.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AdvanceCreate {
    /// Who was handed it.
    pub worker_id: WorkerId,
    /// The day. It is recovered from the pay of the week that this day is in, and of later ones.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub dated: Date,
    /// What for, as the worker will read it.
    pub says: Remark,
    /// How much, in the outfit's currency.
    pub amount: Amount,
    /// How it is recovered; all of it as soon as pay allows when this is left out.
    #[serde(default)]
    pub recovery: Recovery,
}

/// An advance, and how far it was recovered.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AdvanceView {
    /// Its id.
    pub advance_id: AdvanceId,
    /// Who was handed it.
    pub payee: PayeeView,
    /// The day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub dated: Date,
    /// What for, in words.
    pub says: String,
    /// How much.
    pub amount: Money,
    /// How it is recovered.
    pub recovery: Recovery,
    /// What posted settlements recovered of it.
    pub taken: Money,
    /// What is still to be recovered; below zero where something is to be given back.
    pub outstanding: Money,
    /// Its entry in the journal.
    pub journal_entry_id: JournalEntryId,
    /// That it does not stand; absent while it does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reversed: Option<ReversedView>,
    /// Who recorded it.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

columns!(AdvanceView: advance {
    "advance_id" => advance.advance_id,
    "worker_id" => advance.payee.worker_id,
    "payee" => advance.payee.name,
    "dated" => advance.dated,
    "says" => advance.says,
    "amount" => advance.amount,
    "taken" => advance.taken,
    "outstanding" => advance.outstanding,
    "currency" => advance.amount.currency(),
    "journal_entry_id" => advance.journal_entry_id,
    "reversed_at" => advance.reversed.as_ref().map(|reversed| reversed.reversed_at),
    "reversal_reason" => advance.reversed.as_ref().map(|reversed| reversed.reason.as_str()),
    "made_by" => advance.made_by,
    "made_at" => advance.made_at,
});
