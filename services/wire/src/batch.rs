//! Many tickets in one request, and what became of each.

use kernel::TicketId;
use serde::{Deserialize, Serialize};

use crate::Problem;

/// What became of one ticket of many. Each stands or falls by itself.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "outcome", rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum BatchLine {
    /// It is in the books now; in a dry run, it would be.
    Accepted(AcceptedTicket),
    /// It was there before, just as it was sent; nothing has changed.
    Replayed(ReplayedTicket),
    /// It was not taken; nothing of it was kept.
    Refused(RefusedTicket),
    /// The last line: every line was dealt with. Where it is missing, the answer was cut off; send the rest again.
    Finished(BatchEnd),
}

/// A ticket that is in the books now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AcceptedTicket {
    /// The line it was sent on, from 1; of a sheet, its first row, where the header is row 1.
    pub line: u64,
    /// Its scale book.
    pub book: String,
    /// Its number there.
    pub number: u32,
    /// Its id; in a dry run nobody's.
    pub ticket_id: TicketId,
    /// How many tasks and pieces on it nothing pays for yet.
    pub unpriced: u32,
}

/// A ticket that was in the books before.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ReplayedTicket {
    /// The line it was sent on, from 1; of a sheet, its first row, where the header is row 1.
    pub line: u64,
    /// Its scale book.
    pub book: String,
    /// Its number there.
    pub number: u32,
    /// Its id.
    pub ticket_id: TicketId,
}

/// A ticket that was not taken.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct RefusedTicket {
    /// The line it was sent on, from 1; of a sheet, its first row, where the header is row 1.
    pub line: u64,
    /// Its scale book, if that could be read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// Its number there, if that could be read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<u32>,
    /// Why, as the same ticket sent alone would be answered. For a sheet its `errors` name cells as RFC 7111 does:
    /// `#cell=7,3` is the third column of row 7.
    pub problem: Problem,
}

/// What it came to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct BatchEnd {
    /// How many were accepted.
    pub accepted: u64,
    /// How many had been accepted before.
    pub replayed: u64,
    /// How many were refused.
    pub refused: u64,
    /// Whether it was only rehearsed.
    pub dry_run: bool,
}

impl BatchEnd {
    /// Counts a line.
    ///
    /// ```
    /// use wire::{BatchEnd, BatchLine, RefusedTicket, Code, Problem};
    /// let mut end = BatchEnd::default();
    /// let problem = Problem::new(Code::NotJson, "the line is cut off");
    /// end.count(&BatchLine::Refused(RefusedTicket { line: 1, book: None, number: None, problem }));
    /// assert_eq!(end.refused, 1);
    /// ```
    pub const fn count(&mut self, line: &BatchLine) {
        match line {
            BatchLine::Accepted(_) => self.accepted = self.accepted.saturating_add(1),
            BatchLine::Replayed(_) => self.replayed = self.replayed.saturating_add(1),
            BatchLine::Refused(_) => self.refused = self.refused.saturating_add(1),
            BatchLine::Finished(_) => {}
        }
    }
}

/// What became of the tickets on a sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SheetAnswer {
    /// One for each ticket, in the order of the sheet.
    pub tickets: Vec<BatchLine>,
    /// How many were accepted.
    pub accepted: u64,
    /// How many had been accepted before.
    pub replayed: u64,
    /// How many were refused.
    pub refused: u64,
    /// Whether it was only rehearsed.
    pub dry_run: bool,
}
