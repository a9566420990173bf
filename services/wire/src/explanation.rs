//! Explanations: a line of a statement followed down to the sticks, and a stick followed up to the pay.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{ContractId, Exact, Fixed, Money, SettlementId, StatementId, TermsId, VolumeUnit};
use scaling::Piece;
use serde::{Deserialize, Serialize};
use settlement::{Basis, RateKind, RateUnit, Task, UnpricedReason};

use crate::{LineExplanation, Party, PayeeView, SetAsideView, TicketReference, TicketState};

/// In which form something is explained.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum ExplanationFormat {
    /// As data.
    #[default]
    Json,
    /// As a text for people to read.
    Text,
}

/// One payee's line of a statement followed down to the sticks.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct StatementLineExplanation {
    /// The statement.
    pub statement_id: StatementId,
    /// The settlement.
    pub settlement_id: SettlementId,
    /// The last day of the week that was settled.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_ends_on: Date,
    /// Whose statement it is.
    pub payee: PayeeView,
    /// What the line says on it: the payee's part.
    pub amount: Money,
    /// The payee's part of what the books say of this work in all.
    pub now_amount: Money,
    /// The payee's part of what had been posted for it before.
    pub formerly_amount: Money,
    /// How the part came about, in words.
    pub says: String,
    /// The whole line: its arithmetic, its division, its tickets and their sticks.
    pub explained: LineExplanation,
}

/// A ticket that took the place of another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CorrectionStep {
    /// The new ticket.
    pub ticket: TicketReference,
    /// What was wrong with the one before.
    pub reason: String,
    /// Whether it holds nothing, so that the ticket is void.
    pub void: bool,
    /// Who recorded it.
    pub accepted_by: String,
    /// When.
    pub accepted_at: Timestamp,
}

/// What a posted line did with a ticket's work under a rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum PaymentEvent {
    /// It was counted.
    Posted,
    /// It was taken back.
    TakenBack,
}

/// That a posted line counted a ticket's work, or took it back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PaymentStep {
    /// What it did.
    pub event: PaymentEvent,
    /// The settlement.
    pub settlement_id: SettlementId,
    /// The last day of the week that it settled.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub settled_week: Date,
    /// The line's place in it, from 1.
    pub line_number: i32,
    /// The quantity of the whole line.
    pub line_quantity: Fixed,
    /// The amount of the whole line: the difference that it made.
    pub line_amount: Money,
    /// Who posted it; absent for a mill.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub posted_by: Option<String>,
    /// When.
    pub posted_at: Timestamp,
}

/// Where a piece's pay under a rate stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum PayState {
    /// It counts, and a posted line has settled it.
    Posted,
    /// It counts, and no posted line has settled it yet.
    Open,
    /// It does not count any more, and what was posted is still to be taken back.
    ToBeTakenBack,
    /// It does not count any more, and what was posted has been taken back.
    TakenBack,
    /// It does not count any more, and was never posted.
    NeverPosted,
}

/// What a rate makes of a piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct RateExplanation {
    /// The rate's place in the terms, from 1.
    pub rate_number: u16,
    /// Its name.
    pub rate_name: String,
    /// Whether it sets the price, adds to it, or takes off from it.
    pub kind: RateKind,
    /// What it is paid by.
    pub unit: RateUnit,
    /// On gross or on net scale; absent where nothing is scaled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub basis: Option<Basis>,
    /// The price of one unit; below zero for dockage.
    pub price: Fixed,
    /// The ticket's quantity under the rate, in the unit that is counted.
    pub ticket_quantity: Fixed,
    /// Of how many pieces.
    pub ticket_pieces: u64,
    /// The piece's own part of it, exactly: what it counts for, and an equal part of what belongs to no single piece, as
    /// a turn that is paid whole. The parts of all pieces sum to the ticket's quantity.
    pub quantity: Exact,
    /// Quantity × price ÷ unit, exactly. Money is rounded once for a whole line, so this is never paid by itself; over all
    /// pieces of a line it sums to the exact amount of the line.
    pub exact_amount: Exact,
    /// What was done to the piece's count besides adding up: miles, parts of crews, the least quantity of a turn.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<String>,
    /// Where it stands.
    pub state: PayState,
    /// The earliest open week whose settlement can settle it, or take it back; absent when nothing is open.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "openapi", schema(value_type = Option<String>, format = Date))]
    pub settles_with: Option<Date>,
    /// Every posted line that counted it or took it back, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub history: Vec<PaymentStep>,
    /// The same in words.
    pub says: Vec<String>,
}

/// What a contract's terms made of a piece for one task.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TermsExplanation {
    /// The contract.
    pub contract_id: ContractId,
    /// What people call it.
    pub contract_title: String,
    /// The terms.
    pub terms_id: TermsId,
    /// The day from which they hold.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub effective_from: Date,
    /// When the piece was scaled under them.
    pub derived_at: Timestamp,
    /// Whether this is what counts: false once better terms were filed for the day, or the ticket was corrected.
    pub stands: bool,
    /// The unit of the volumes; absent for a piece without a volume.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume_unit: Option<VolumeUnit>,
    /// Gross scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross: Option<Fixed>,
    /// Net scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net: Option<Fixed>,
    /// Why it is a cull, if it is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cull: Option<String>,
    /// Why it cannot be scaled, if it cannot.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cannot: Option<String>,
    /// Every step from the readings to the net scale, in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub working: Vec<String>,
    /// The rates that count it: the price, and what goes on top.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rates: Vec<RateExplanation>,
}

/// That nothing pays for a task on a piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct UnpricedExplanation {
    /// Whether it is all of the ticket's work at the task that has no price, not this piece by itself.
    pub whole_task: bool,
    /// Why, as data.
    pub reason: UnpricedReason,
    /// Why, in words.
    pub says: String,
    /// Whether it holds up the week: false once a person has set it aside, or the ticket was corrected.
    pub open: bool,
}

/// Where and whether a task on a piece was paid.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TaskExplanation {
    /// The task.
    pub task: Task,
    /// Who did it, or for whom it was done.
    pub party: Party,
    /// Their name.
    pub party_name: String,
    /// The crew's part of the piece, where more than one crew did the task to it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<Exact>,
    /// What contracts' terms made of it: what counts now, and what was posted before.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub under: Vec<TermsExplanation>,
    /// Why nothing pays for it, where nothing does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unpriced: Option<UnpricedExplanation>,
    /// Who set it aside, and why.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub set_aside: Vec<SetAsideView>,
    /// Whether and where it was paid, in a sentence or two.
    pub says: Vec<String>,
}

/// A stick followed up to the pay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PieceExplanation {
    /// Its place on the ticket, from 1.
    pub piece: u16,
    /// What was measured.
    pub facts: Piece,
    /// Each task that was done to it, by each who did it.
    pub tasks: Vec<TaskExplanation>,
}

/// A ticket, or one piece of it, followed up to the pay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TicketExplanation {
    /// The ticket.
    pub ticket: TicketReference,
    /// Whether it counts.
    pub state: TicketState,
    /// The day it was scaled.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub scaled_on: Date,
    /// The last day of its week.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_ends_on: Date,
    /// Who scaled it.
    pub scaler: String,
    /// Who recorded it.
    pub accepted_by: String,
    /// When.
    pub accepted_at: Timestamp,
    /// Whether its week was posted already when it was accepted.
    pub late: bool,
    /// The ticket it took the place of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<TicketReference>,
    /// What was wrong with that one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub correction_reason: Option<String>,
    /// The tickets that took its place one after another, the one that stands now last.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub corrections: Vec<CorrectionStep>,
    /// Its pieces, or the one that was asked for.
    pub pieces: Vec<PieceExplanation>,
    /// What this paper is, and what it is not.
    pub caution: String,
}
