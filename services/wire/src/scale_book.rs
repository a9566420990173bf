//! Scale books: which numbers were used, which will never come, and which are missing.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{TicketId, VoidedNumbersId};
use serde::{Deserialize, Serialize};

use crate::Remark;
use crate::columns::columns;

/// How far a scale book has come.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ScaleBookView {
    /// The book.
    pub book: String,
    /// The lowest number that a ticket has or that was voided.
    pub first_number: i64,
    /// The highest.
    pub last_number: i64,
    /// How many tickets it has.
    pub tickets: i64,
    /// How many of its numbers were voided.
    pub voided: i64,
    /// How many between the first and the last are neither.
    pub missing: i64,
}

columns!(ScaleBookView: book {
    "book" => book.book,
    "first_number" => book.first_number,
    "last_number" => book.last_number,
    "tickets" => book.tickets,
    "voided" => book.voided,
    "missing" => book.missing,
});

/// A number beside a gap.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct NumberBeside {
    /// The number.
    pub number: i64,
    /// The ticket that has it; absent where the number was voided.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ticket_id: Option<TicketId>,
    /// The day that ticket was scaled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "openapi", schema(value_type = Option<String>, format = Date))]
    pub scaled_on: Option<Date>,
}

/// Numbers that are missing from a scale book between two that are not.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct GapView {
    /// The first that is missing.
    pub from: i64,
    /// The last that is missing; the same one where there is no other.
    pub to: i64,
    /// The number before them.
    pub before: NumberBeside,
    /// The number after them.
    pub after: NumberBeside,
}

columns!(GapView: gap {
    "from" => gap.from,
    "to" => gap.to,
    "number_before" => gap.before.number,
    "ticket_before" => gap.before.ticket_id,
    "scaled_before" => gap.before.scaled_on,
    "number_after" => gap.after.number,
    "ticket_after" => gap.after.ticket_id,
    "scaled_after" => gap.after.scaled_on,
});

/// Says of numbers of a scale book that no ticket will ever have them: a spoiled sheet, a lost book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct VoidedNumbersCreate {
    /// The first of the numbers, from 1.
    #[cfg_attr(feature = "openapi", schema(value_type = i64, minimum = 1))]
    pub from: u32,
    /// The last; left out where there is one only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "openapi", schema(value_type = Option<i64>, minimum = 1))]
    pub to: Option<u32>,
    /// Why they will never come.
    pub reason: Remark,
}

/// Numbers of a scale book that will never come.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct VoidedNumbersView {
    /// Their id.
    pub voided_numbers_id: VoidedNumbersId,
    /// The book.
    pub book: String,
    /// The first of them.
    pub from: i64,
    /// The last.
    pub to: i64,
    /// Why.
    pub reason: String,
    /// Who said so.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

columns!(VoidedNumbersView: voided {
    "voided_numbers_id" => voided.voided_numbers_id,
    "book" => voided.book,
    "from" => voided.from,
    "to" => voided.to,
    "reason" => voided.reason,
    "made_by" => voided.made_by,
    "made_at" => voided.made_at,
});
