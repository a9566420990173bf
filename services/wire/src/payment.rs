//! Payments: money handed to workers for what they have coming, and money that mills hand over.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{JournalEntryId, MillId, Money, PaymentId, WorkerId};
use serde::{Deserialize, Serialize};
use settlement::Amount;

use crate::columns::columns;
use crate::{PayeeView, Remark, ReversedView};

/// The other side of a payment, and with it the direction of the money.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum PaymentParty {
    /// We paid this worker.
    WorkerId(WorkerId),
    /// This mill paid us.
    MillId(MillId),
}

/// Records money that changed hands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PaymentCreate {
    /// The worker who got it, or the mill that handed it over.
    pub party: PaymentParty,
    /// The day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub dated: Date,
    /// How it was paid, as the payee will read it.
    pub says: Remark,
    /// How much, in the outfit's currency.
    pub amount: Amount,
}

/// A payment.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PaymentView {
    /// Its id.
    pub payment_id: PaymentId,
    /// The worker who got it, or the mill that handed it over.
    pub payee: PayeeView,
    /// The day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub dated: Date,
    /// How it was paid, in words.
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

/// A payment that was just recorded, and where it leaves the account.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PaymentRecorded {
    /// The payment.
    pub payment: PaymentView,
    /// What the worker has coming after it, or what the mill owes. Below zero where more was paid than was owed: money
    /// that changed hands is a fact, and the next statement brings the balance forward.
    pub balance: Money,
}

columns!(PaymentView: payment {
    "payment_id" => payment.payment_id,
    "worker_id" => payment.payee.worker_id,
    "mill_id" => payment.payee.mill_id,
    "payee" => payment.payee.name,
    "dated" => payment.dated,
    "says" => payment.says,
    "amount" => payment.amount,
    "currency" => payment.amount.currency(),
    "journal_entry_id" => payment.journal_entry_id,
    "reversed_at" => payment.reversed.as_ref().map(|reversed| reversed.reversed_at),
    "reversal_reason" => payment.reversed.as_ref().map(|reversed| reversed.reason.as_str()),
    "made_by" => payment.made_by,
    "made_at" => payment.made_at,
});
