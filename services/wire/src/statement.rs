//! Statements: what each payee has coming from a settlement.

use jiff::civil::Date;
use kernel::{Fixed, Money, SettlementId, StatementId};
use serde::{Deserialize, Serialize};
use settlement::{Basis, LineKind, RateUnit, Task};

use crate::{PayeeView, TicketReference};

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
}

/// What one payee has coming from one settlement. Opening plus earned is closing, to the cent.
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
    /// The balance before.
    pub opening: Money,
    /// What the lines add up to.
    pub earned: Money,
    /// The balance after.
    pub closing: Money,
    /// The lines; empty in lists.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lines: Vec<StatementLineView>,
    /// What this paper is, and what it is not.
    pub caution: String,
}
