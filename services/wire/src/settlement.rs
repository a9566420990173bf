//! The week's settlement.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{
    ContractId, CrewId, Exact, Fixed, MillId, Money, SettlementId, ShareSetId, TermsId, TicketId,
    TimeEntryId, VolumeUnit, WorkerId,
};
use scaling::Piece;
use serde::{Deserialize, Serialize};
use settlement::{Basis, LineKind, RateUnit, Task};

use crate::columns::columns;
use crate::{AdjustmentReference, AuditVolumeRow, ExplainedAdjustment, PayView, TimeEntryView, UnpricedView};

/// Drafts the settlement of a week. Nothing is paid by it: read it, then post it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SettlementCreate {
    /// The week's last day; must fall on the weekday that the outfit's weeks end on.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub week_ends_on: Date,
    /// Whether every week since the beginning is stated again, and not only those that changed since they were posted. It
    /// comes to the same and takes the longer the more lies behind. What it finds beyond, if the books were meddled with, is
    /// in this draft and every later one.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub whole_history: bool,
}

/// Whether a settlement is for good.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum SettlementState {
    /// Computed, to be read; nothing is paid by it.
    Draft,
    /// For good.
    Posted,
}

/// Somebody who is paid, or who pays.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PayeeView {
    /// The worker; absent for a mill.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub worker_id: Option<WorkerId>,
    /// The mill; absent for a worker.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// The name on the statement.
    pub name: String,
}

/// What falls to one payee.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PayeeAmount {
    /// Who.
    pub payee: PayeeView,
    /// How much; for a mill, what it owes.
    pub amount: Money,
}

/// A ticket by its name in the yard.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TicketReference {
    /// Its id.
    pub ticket_id: TicketId,
    /// Its book.
    pub book: String,
    /// Its number.
    pub number: i64,
}

/// A line of a settlement: a week, a rate and a crew or mill.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = SettlementLine))]
pub struct LineView {
    /// Its place in the settlement, from 1.
    pub number: i32,
    /// Work of this week, or a difference in an earlier one.
    pub kind: LineKind,
    /// The last day of the week the work belongs to.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_ends_on: Date,
    /// The contract.
    pub contract_id: ContractId,
    /// What people call it.
    pub contract_title: String,
    /// The terms the rate stands in.
    pub terms_id: TermsId,
    /// The rate's place in the terms, from 1.
    pub rate_number: u16,
    /// The rate's name.
    pub rate_name: String,
    /// The task it pays.
    pub task: Task,
    /// What it is paid by.
    pub unit: RateUnit,
    /// On gross or on net scale; absent where nothing is scaled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub basis: Option<Basis>,
    /// The price of one unit; below zero for dockage.
    pub price: Fixed,
    /// The crew that is paid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crew_id: Option<CrewId>,
    /// How the crew divides it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub share_set_id: Option<ShareSetId>,
    /// The member who is paid by time; nobody shares in such a line.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub worker_id: Option<WorkerId>,
    /// The mill that pays.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// The crew's or the mill's name.
    pub party_name: String,
    /// How much is settled by this line, in the unit that is counted: board feet, pieces, feet, turns, hours.
    pub quantity: Fixed,
    /// How many pieces.
    pub pieces: i64,
    /// The amount of this line.
    pub amount: Money,
    /// What the books say now of this week, rate and party in all.
    pub now_quantity: Fixed,
    /// The amount that makes.
    pub now_amount: Money,
    /// What had been posted for them before.
    pub formerly_quantity: Fixed,
    /// The amount that made.
    pub formerly_amount: Money,
    /// To whom the amount falls.
    pub by_payee: Vec<PayeeAmount>,
    /// Where the crew shares by hours: each member's parts of what the books say now.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts_by_hours: Vec<PartsByHours>,
    /// For an adjustment: the tickets that it pays for the first time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub entered: Vec<TicketReference>,
    /// For an adjustment: the tickets whose earlier pay it takes back, before paying them as they now stand.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub withdrawn: Vec<TicketReference>,
    /// For an adjustment of a member's time: the entries that it pays for the first time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub entered_time: Vec<TimeEntryId>,
    /// For an adjustment of a member's time: the entries whose earlier pay it takes back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub withdrawn_time: Vec<TimeEntryId>,
    /// The adjustments after check scales that are in what the books say now for the first time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub entered_adjustments: Vec<AdjustmentReference>,
    /// The adjustments after check scales that were taken back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub withdrawn_adjustments: Vec<AdjustmentReference>,
}

/// What was scaled under one contract in a week, by product and species.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ContractVolumes {
    /// The contract.
    pub contract_id: ContractId,
    /// What people call it.
    pub contract_title: String,
    /// The crew's or the mill's name.
    pub party_name: String,
    /// One row for each product, species and unit.
    pub rows: Vec<AuditVolumeRow>,
}

/// A member's parts of a line that is shared by hours.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PartsByHours {
    /// The member.
    pub worker_id: WorkerId,
    /// Over the days, the day's quantity × his hours ÷ the hours of all.
    pub parts: Exact,
}

/// A week's settlement.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SettlementView {
    /// Its id.
    pub settlement_id: SettlementId,
    /// The week's last day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_ends_on: Date,
    /// Draft or posted.
    pub state: SettlementState,
    /// Its lines; empty in lists.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lines: Vec<LineView>,
    /// Each worker's pay: his shares of the lines, what is added, what is kept back. Empty in lists.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pays: Vec<PayView>,
    /// What was scaled in the settled week under each contract, when it was drafted. Empty in lists.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub volumes: Vec<ContractVolumes>,
    /// What all crews are paid by its lines.
    pub paid_to_crews: Money,
    /// What is added to wages beside the lines.
    pub added_to_pay: Money,
    /// What is kept back of pay: holdback, advances, charges.
    pub kept_back: Money,
    /// What all mills owe by it.
    pub owed_by_mills: Money,
    /// What keeps it from being posted: pieces that nothing pays for, up to the end of the week. Empty in lists.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unpriced: Vec<UnpricedView>,
    /// Who drafted it.
    pub drafted_by: String,
    /// When.
    pub drafted_at: Timestamp,
    /// Who posted it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub posted_by: Option<String>,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub posted_at: Option<Timestamp>,
}

/// How one member's part of a line came about.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SplitStep {
    /// The member.
    pub payee: PayeeView,
    /// The member's parts: agreed or, where the crew shares by hours, what was counted in his hours.
    pub parts: Exact,
    /// The exact part in the currency's smallest unit.
    pub quota: Exact,
    /// Whether one of the left-over smallest units fell to the member.
    pub by_remainder: bool,
    /// What the member gets of the amount as the books now say it.
    pub amount: Money,
}

/// A ticket within the explanation of a line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ExplainedTicket {
    /// The ticket.
    pub ticket: TicketReference,
    /// The day it was scaled.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub scaled_on: Date,
    /// Whether the line takes its pay back instead of paying it.
    pub withdrawn: bool,
    /// What it counts for, in the unit that is counted.
    pub quantity: Fixed,
    /// What was done to the count besides adding up: miles, parts of crews, the least quantity of a turn.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub says: Vec<String>,
    /// The pieces that count.
    pub pieces: Vec<ExplainedPiece>,
}

/// A stick within the explanation of a line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ExplainedPiece {
    /// Its place on the ticket, from 1.
    pub piece: u16,
    /// What was measured.
    pub facts: Piece,
    /// The unit of the volumes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<VolumeUnit>,
    /// Gross scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross: Option<Fixed>,
    /// Net scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net: Option<Fixed>,
    /// Why it is a cull, if it is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cull: Option<String>,
    /// Every step from the readings to the net scale, in words.
    pub working: Vec<String>,
}

/// A posted line followed down to the sticks.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LineExplanation {
    /// The line.
    pub line: LineView,
    /// Quantity × price ÷ unit, exactly.
    pub exact_amount: Exact,
    /// The same in words, with the rounding.
    pub says: String,
    /// How the crew's amount was divided; empty for a mill.
    pub split: Vec<SplitStep>,
    /// The tickets, each with its sticks.
    pub tickets: Vec<ExplainedTicket>,
    /// For a line of a member's time: the entries, those that it takes back among them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub time: Vec<TimeEntryView>,
    /// What check scales added to the quantity or took from it, with the arithmetic.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub adjustments: Vec<ExplainedAdjustment>,
}

columns!(SettlementView: settlement {
    "settlement_id" => settlement.settlement_id,
    "week_ends_on" => settlement.week_ends_on,
    "state" => settlement.state.name(),
    "paid_to_crews" => settlement.paid_to_crews,
    "added_to_pay" => settlement.added_to_pay,
    "kept_back" => settlement.kept_back,
    "owed_by_mills" => settlement.owed_by_mills,
    "currency" => settlement.paid_to_crews.currency(),
    "drafted_by" => settlement.drafted_by,
    "drafted_at" => settlement.drafted_at,
    "posted_by" => settlement.posted_by,
    "posted_at" => settlement.posted_at,
});

impl SettlementState {
    fn name(self) -> &'static str {
        match self {
            Self::Draft => "draft",
            Self::Posted => "posted",
        }
    }
}
