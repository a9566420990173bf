//! Statements: what each payee has coming from a settlement.

use jiff::civil::Date;
use kernel::{Fixed, JournalEntryId, Money, SettlementId, StatementId};
use serde::{Deserialize, Serialize};
use settlement::{Basis, LineKind, RateUnit, Task};

use crate::columns::columns;
use crate::{AdjustmentReference, ContractVolumes, PayView, PayeeView, TicketReference};

/// A line of a statement: the payee's part of a line of the settlement.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = StatementLine))]
pub struct StatementLineView {
    /// The line's place in the settlement.
    pub line_number: i32,
    /// Work of this week, or a difference in an earlier one.
    pub kind: LineKind,
    /// The last day of the week the work belongs to.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_ends_on: Date,
    /// The contract.
    pub contract_title: String,
    /// The crew or the mill.
    pub party_name: String,
    /// The task.
    pub task: Task,
    /// The rate's name.
    pub rate_name: String,
    /// What it is paid by.
    pub unit: RateUnit,
    /// On gross or on net scale; absent where nothing is scaled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub basis: Option<Basis>,
    /// The price of one unit.
    pub price: Fixed,
    /// How much, in the unit that is counted.
    pub quantity: Fixed,
    /// How many pieces.
    pub pieces: i64,
    /// The amount of the whole line.
    pub line_amount: Money,
    /// The payee's part of it.
    pub amount: Money,
    /// For an adjustment: the tickets that it pays for the first time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub entered: Vec<TicketReference>,
    /// For an adjustment: the tickets whose earlier pay it takes back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub withdrawn: Vec<TicketReference>,
    /// The adjustments after check scales that are in it for the first time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub entered_adjustments: Vec<AdjustmentReference>,
    /// The adjustments after check scales that were taken back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub withdrawn_adjustments: Vec<AdjustmentReference>,
}

/// Money that came to a payee's account or went from it between two statements: a payment, holdback let go, or one of
/// them taken back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MovementView {
    /// Its entry in the journal.
    pub journal_entry_id: JournalEntryId,
    /// The day it belongs to.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub dated: Date,
    /// What it was, in words.
    pub says: String,
    /// Below zero where it went.
    pub amount: Money,
}

/// Sums over the statements of a calendar year, up to and including one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct YearToDate {
    /// The year, in which the weeks end.
    pub year: i16,
    /// What the lines came to.
    pub earned: Money,
    /// What was added.
    pub added: Money,
    /// What was kept back.
    pub kept_back: Money,
    /// What came and went beside: payments below zero.
    pub moved: Money,
}

/// What one payee has coming from one settlement. It foots to the cent: opening, moved, earned and added, less what is
/// kept back, is closing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct StatementView {
    /// Its id.
    pub statement_id: StatementId,
    /// The settlement.
    pub settlement_id: SettlementId,
    /// The week's last day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_ends_on: Date,
    /// Who is paid; for a mill, who owes.
    pub payee: PayeeView,
    /// The outfit that owes, or is owed.
    pub outfit_name: String,
    /// The week's first day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_begins_on: Date,
    /// The balance by the last statement.
    pub opening: Money,
    /// What came and went since.
    pub moved: Money,
    /// What the lines add up to.
    pub earned: Money,
    /// What is added to a worker's pay.
    pub added: Money,
    /// What is kept back of it.
    pub kept_back: Money,
    /// The balance after.
    pub closing: Money,
    /// The lines; empty in lists.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lines: Vec<StatementLineView>,
    /// How a worker's pay came to what it is; absent in lists, and for a mill.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pay: Option<PayView>,
    /// What came and went since the last statement, one by one; empty in lists.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub movements: Vec<MovementView>,
    /// What was scaled in the week under the contracts of the lines; empty in lists.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub volumes: Vec<ContractVolumes>,
    /// The year so far; absent in lists.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub year_to_date: Option<YearToDate>,
    /// What this paper is, and what it is not.
    pub caution: String,
}

columns!(StatementView: statement {
    "statement_id" => statement.statement_id,
    "settlement_id" => statement.settlement_id,
    "week_begins_on" => statement.week_begins_on,
    "week_ends_on" => statement.week_ends_on,
    "worker_id" => statement.payee.worker_id,
    "mill_id" => statement.payee.mill_id,
    "payee" => statement.payee.name,
    "opening" => statement.opening,
    "moved" => statement.moved,
    "earned" => statement.earned,
    "added" => statement.added,
    "kept_back" => statement.kept_back,
    "closing" => statement.closing,
    "currency" => statement.closing.currency(),
});
