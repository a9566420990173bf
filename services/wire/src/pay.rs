//! Each worker's pay in a settlement, beside the lines of work.

use jiff::civil::Date;
use kernel::{AdvanceId, ChargeId, ContractId, Exact, Money};
use serde::{Deserialize, Serialize};
use settlement::{ChargeKind, LineKind, Supplement};

use crate::PayeeView;

/// What is added to a worker's week, as a difference from what was posted of it before.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SupplementView {
    /// Of the settled week, or a difference in an earlier one.
    pub kind: LineKind,
    /// The last day of the week it is for.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_ends_on: Date,
    /// What is added.
    pub supplement: Supplement,
    /// How much by this settlement.
    pub amount: Money,
    /// What it is in all, as the books stand.
    pub now_amount: Money,
    /// What had been posted of it before.
    pub formerly_amount: Money,
}

/// Something that is kept back of a worker's pay: exactly one of contract, advance and charge is named.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TakeOffView {
    /// The contract whose holdback it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub contract_id: Option<ContractId>,
    /// The advance that is recovered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub advance_id: Option<AdvanceId>,
    /// The charge that is taken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub charge_id: Option<ChargeId>,
    /// What kind of charge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub charge_kind: Option<ChargeKind>,
    /// The day of the advance or the charge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "openapi", schema(value_type = Option<String>, format = Date))]
    pub dated: Option<Date>,
    /// What it is, in words.
    pub says: String,
    /// What was due in this settlement.
    pub due: Money,
    /// What is kept back; below zero where it is given back.
    pub taken: Money,
    /// What of the due is carried forward, because the pay did not allow it.
    pub carried: Money,
}

/// The hours of a worker's week.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct HoursView {
    /// On piece work.
    pub piece_work: Exact,
    /// Paid by the hour or the day.
    pub paid_by_time: Exact,
    /// Of rest.
    pub rest: Exact,
    /// All together.
    pub all: Exact,
    /// Past the threshold for overtime.
    pub overtime: Exact,
}

/// One worker's pay in a settlement: earned and added, less what is kept back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PayView {
    /// Whose.
    pub payee: PayeeView,
    /// His shares of the lines.
    pub earned: Money,
    /// The hours recorded for the settled week; absent where there are none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<HoursView>,
    /// What an hour of the settled week brought, as it was used; absent without hours.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub regular_rate: Option<Exact>,
    /// What is added.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub supplements: Vec<SupplementView>,
    /// All that is added.
    pub added: Money,
    /// What is kept back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub take_offs: Vec<TakeOffView>,
    /// All that is kept back.
    pub kept_back: Money,
    /// What the settlement comes to for him.
    pub total: Money,
    /// The part of the week's pay that no charge but board and lodging may cut into.
    pub protected: Money,
    /// How what is added came about, in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub working: Vec<String>,
}
