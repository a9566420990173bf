//! A posted week computed again from the measured facts, and held against what was posted.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{ContractId, SettlementId};
use serde::{Deserialize, Serialize};

use crate::TicketReference;

/// How much was computed again and compared.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Compared {
    /// Posted lines.
    pub lines: u64,
    /// Tickets behind them, each counted once.
    pub tickets: u64,
    /// Pieces on these tickets.
    pub pieces: u64,
    /// Tickets scaled again under the terms of a contract.
    pub derivations: u64,
    /// Quantities of tickets under single rates.
    pub rate_lines: u64,
    /// Entries of paid time.
    pub time_entries: u64,
    /// Parts of lines that fell to somebody.
    pub shares: u64,
    /// Workers whose additions and take-offs were worked out again.
    pub pays: u64,
    /// Statements.
    pub statements: u64,
    /// Postings in the journal.
    pub postings: u64,
}

/// A place where what was posted is not what the records come to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Difference {
    /// Where: like a JSON pointer, with lines and pieces by their numbers and records by their ids.
    pub pointer: String,
    /// The line of the settlement.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line_number: Option<i32>,
    /// The ticket.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ticket: Option<TicketReference>,
    /// The piece on it, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<u16>,
    /// What the books hold there; absent where they hold nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stored: Option<String>,
    /// What it ought to be; absent where there ought to be nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub derived: Option<String>,
    /// The same in words.
    pub says: String,
}

/// A posted week computed again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Rederivation {
    /// The settlement.
    pub settlement_id: SettlementId,
    /// The week's last day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_ends_on: Date,
    /// Who posted it.
    pub posted_by: String,
    /// When.
    pub posted_at: Timestamp,
    /// The contract that was asked for; absent when it is the whole week.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub contract_id: Option<ContractId>,
    /// Whether everything that was compared agrees.
    pub agrees: bool,
    /// How much was compared.
    pub compared: Compared,
    /// How long it took.
    pub took_milliseconds: u64,
    /// How many places differ.
    pub difference_count: u64,
    /// The first thousand of them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub differences: Vec<Difference>,
    /// What was not compared this time, and why.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_compared: Vec<String>,
}
