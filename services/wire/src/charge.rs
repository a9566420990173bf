//! Charges against workers' pay: board, lodging, the camp's store, tools.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{ChargeId, Money, WorkerId};
use serde::{Deserialize, Serialize};
use settlement::{Amount, ChargeKind};

use crate::columns::columns;
use crate::{PayeeView, Remark, ReversedView};

/// Charges a worker. What may be charged, and how far it may go into wages, is for local law and a licensed
/// professional to decide.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ChargeCreate {
    /// Who is charged.
    pub worker_id: WorkerId,
    /// The day. It is taken from the pay of the week that this day is in, or of a later one.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub dated: Date,
    /// What kind of thing.
    pub kind: ChargeKind,
    /// What it is, as the worker will read it.
    pub says: Remark,
    /// How much, in the outfit's currency.
    pub amount: Amount,
    /// The most that is taken from one settlement, in the outfit's currency; all of it may be when this is left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most_a_week: Option<Amount>,
    /// Whether it may be taken from pay that the minimum protects: only for board and lodging.
    #[serde(default)]
    pub cuts_into_minimum: bool,
}

/// A charge, and how far it was taken.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ChargeView {
    /// Its id.
    pub charge_id: ChargeId,
    /// Who is charged.
    pub payee: PayeeView,
    /// The day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub dated: Date,
    /// What kind of thing.
    pub kind: ChargeKind,
    /// What it is, in words.
    pub says: String,
    /// How much.
    pub amount: Money,
    /// The most that is taken from one settlement.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most_a_week: Option<Money>,
    /// Whether it may be taken from pay that the minimum protects.
    pub cuts_into_minimum: bool,
    /// What posted settlements took of it.
    pub taken: Money,
    /// What is still to be taken; below zero where something is to be given back.
    pub outstanding: Money,
    /// That it does not stand; absent while it does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reversed: Option<ReversedView>,
    /// Who recorded it.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

columns!(ChargeView: charge {
    "charge_id" => charge.charge_id,
    "worker_id" => charge.payee.worker_id,
    "payee" => charge.payee.name,
    "dated" => charge.dated,
    "kind" => charge.kind.name(),
    "says" => charge.says,
    "amount" => charge.amount,
    "most_a_week" => charge.most_a_week,
    "taken" => charge.taken,
    "outstanding" => charge.outstanding,
    "currency" => charge.amount.currency(),
    "cuts_into_minimum" => charge.cuts_into_minimum,
    "reversed_at" => charge.reversed.as_ref().map(|reversed| reversed.reversed_at),
    "reversal_reason" => charge.reversed.as_ref().map(|reversed| reversed.reason.as_str()),
    "made_by" => charge.made_by,
    "made_at" => charge.made_at,
});
