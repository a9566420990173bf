//! Holdback: what is held of workers' pay until it is let go.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{ContractId, JournalEntryId, Money, ReleaseId, WorkerId};
use serde::{Deserialize, Serialize};
use settlement::Amount;

use crate::columns::columns;
use crate::{PayeeView, Remark, ReversedView};

/// Lets go of holdback: from then on it is owed to the worker like other pay.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ReleaseCreate {
    /// Whose.
    pub worker_id: WorkerId,
    /// The contract under which it is held.
    pub contract_id: ContractId,
    /// The day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub dated: Date,
    /// Why, as the worker will read it.
    pub says: Remark,
    /// How much, in the outfit's currency; at most what is held.
    pub amount: Amount,
}

/// Holdback that was let go.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ReleaseView {
    /// Its id.
    pub release_id: ReleaseId,
    /// Whose.
    pub payee: PayeeView,
    /// The contract under which it was held.
    pub contract_id: ContractId,
    /// What people call it.
    pub contract_title: String,
    /// The day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub dated: Date,
    /// Why, in words.
    pub says: String,
    /// How much.
    pub amount: Money,
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

/// What is held of one worker's pay under one contract.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct HeldView {
    /// Whose.
    pub payee: PayeeView,
    /// The contract.
    pub contract_id: ContractId,
    /// What people call it.
    pub contract_title: String,
    /// Kept back by posted settlements, less what was let go.
    pub held: Money,
    /// What was let go, oldest first, also what was taken back.
    pub releases: Vec<ReleaseView>,
}

columns!(HeldView: held for release in held.releases.iter(), {
    "worker_id" => held.payee.worker_id,
    "payee" => held.payee.name,
    "contract_id" => held.contract_id,
    "contract_title" => held.contract_title,
    "held" => held.held,
    "currency" => held.held.currency(),
    "release_id" => release.map(|release| release.release_id),
    "released_on" => release.map(|release| release.dated),
    "released" => release.map(|release| release.amount),
    "says" => release.map(|release| release.says.as_str()),
    "release_reversed_at" =>
        release.and_then(|release| release.reversed.as_ref()).map(|reversed| reversed.reversed_at),
});
