//! Exceptions: what an auditor would stop at, each with its tickets.

use audit::SpreadMeasure;
use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{Exact, JobId, Money, Product, SettlementId, TicketId};
use serde::{Deserialize, Serialize};
use settlement::Task;

use crate::columns::columns;
use crate::{ExceptionKind, Party};

/// A ticket that an exception is about.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ExceptionTicket {
    /// Its id.
    pub ticket_id: TicketId,
    /// Its book.
    pub book: String,
    /// Its number.
    pub number: i64,
    /// The day it was scaled.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub scaled_on: Date,
    /// Which of its pieces, by number; absent where it is about the whole ticket.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pieces: Vec<u16>,
}

/// By which statistics a figure stands out from its like.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ExceptionStatistics {
    /// The method in words, with its source.
    pub method: String,
    /// What it is held against: which sticks or tickets.
    pub group: String,
    /// How many figures the group has.
    pub figures: u32,
    /// By what distances are measured.
    pub measure: SpreadMeasure,
    /// The spread: the median or mean absolute deviation.
    pub spread: Exact,
    /// The modified z-score, to the hundredth; below zero for a figure below the median.
    pub score: Exact,
    /// The score beyond which a figure stands out.
    pub limit: Exact,
}

/// One exception. Nothing is computed from it, and nothing held up: somebody looks, and mends what is wrong where it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ExceptionView {
    /// What kind it is.
    pub kind: ExceptionKind,
    /// What was found, in words.
    pub says: String,
    /// The day it is about; the last one where it is about several.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub day: Date,
    /// The job; absent where it is about none, or several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
    /// The tickets, oldest first, 20 at the most. None where a ticket is what is missing.
    pub tickets: Vec<ExceptionTicket>,
    /// How many more tickets there are.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub further_tickets: Option<u32>,
    /// The crew or mill.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub party: Option<Party>,
    /// The task.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub task: Option<Task>,
    /// The product.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub product: Option<Product>,
    /// The species.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub species: Option<String>,
    /// The stick's number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stick_number: Option<String>,
    /// What `expected` and `found` count: `sticks`, `turns`, `inches`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub figure: Option<String>,
    /// What should have been found; the median where it is by statistics.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub expected: Option<Exact>,
    /// What was found.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub found: Option<Exact>,
    /// By which statistics it stands out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub statistics: Option<ExceptionStatistics>,
    /// Who did it: posted, corrected, set aside, filed the count.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made_by: Option<String>,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made_at: Option<Timestamp>,
    /// The reason that was given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
    /// The settlement that it is about: the one that had closed the day, or should have paid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub settlement_id: Option<SettlementId>,
    /// What a correction changes of what crews earn: each ticket's quantities at their rates, rounded once. Settlements
    /// round each week's lines, so it can differ by cents from the adjustment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crews_change: Option<Money>,
    /// What it changes of what mills owe.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mills_change: Option<Money>,
    /// Where there is more to see, relative to the service's own address.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub links: Vec<String>,
}

/// Tickets in one cell: `A 12 (1, 3), A 13`.
fn told(tickets: &[ExceptionTicket]) -> String {
    let one = |ticket: &ExceptionTicket| {
        let name = format!("{} {}", ticket.book, ticket.number);
        let pieces: Vec<_> = ticket.pieces.iter().map(ToString::to_string).collect();
        if pieces.is_empty() { name } else { format!("{name} ({})", pieces.join(", ")) }
    };
    tickets.iter().map(one).collect::<Vec<_>>().join("; ")
}

columns!(ExceptionView: one {
    "kind" => one.kind.name(),
    "says" => one.says,
    "day" => one.day,
    "job_id" => one.job_id,
    "tickets" => told(&one.tickets),
    "further_tickets" => one.further_tickets,
    "crew_id" => one.party.and_then(Party::crew),
    "mill_id" => one.party.and_then(Party::mill),
    "task" => one.task.map(Task::name),
    "product" => one.product.map(Product::name),
    "species" => one.species,
    "stick_number" => one.stick_number,
    "figure" => one.figure,
    "expected" => one.expected,
    "found" => one.found,
    "score" => one.statistics.as_ref().map(|statistics| statistics.score),
    "made_by" => one.made_by,
    "made_at" => one.made_at,
    "reason" => one.reason,
    "settlement_id" => one.settlement_id,
    "crews_change" => one.crews_change,
    "mills_change" => one.mills_change,
});

/// How many exceptions of one kind there are, and what the kind is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ExceptionCount {
    /// The kind.
    pub kind: ExceptionKind,
    /// How many.
    pub count: u32,
    /// What it means.
    pub means: String,
    /// How it is found.
    pub found_by: String,
    /// What to do about one.
    pub what_to_do: String,
}

/// The exceptions of some days by kind, with every kind there is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ExceptionSummary {
    /// The first day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub from: Date,
    /// The last.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub to: Date,
    /// How many in all.
    pub count: u32,
    /// How many of each kind, none among them.
    pub kinds: Vec<ExceptionCount>,
    /// What could not be judged, and why: groups with too few figures, or with figures that are all the same.
    pub cannot_be_told: Vec<String>,
}
