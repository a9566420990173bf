//! What is handed over on paper: tickets, statements, crew sheets and the audit report, as pages or documents.

use kernel::{CrewId, SettlementId, StatementId, TicketId};
use serde::Serialize;
use wire::{PaperFormat, PaperSize};

use crate::{Client, ClientError, ReportQuery};

/// What there is on paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PaperOf {
    /// A scale ticket.
    Ticket(TicketId),
    /// The statement of a worker or a mill.
    Statement(StatementId),
    /// A crew's sheet of a settlement.
    CrewSheet(SettlementId, CrewId),
    /// The audit report.
    Report(ReportQuery),
}

impl PaperOf {
    fn path(&self) -> String {
        match self {
            Self::Ticket(ticket) => format!("/v1/tickets/{ticket}"),
            Self::Statement(statement) => format!("/v1/statements/{statement}"),
            Self::CrewSheet(settlement, crew) => format!("/v1/settlements/{settlement}/crews/{crew}"),
            Self::Report(_) => "/v1/reports/audit".to_owned(),
        }
    }
}

/// In which form, beside what else is asked.
#[derive(Serialize)]
struct Formed {
    #[serde(flatten)]
    query: Option<ReportQuery>,
    format: PaperFormat,
    #[serde(skip_serializing_if = "Option::is_none")]
    paper: Option<PaperSize>,
}

impl Client {
    /// Fetches a paper as bytes: a page, a document, or the reply that both are made from. A size of paper goes with
    /// documents alone.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is not in the books or not for the caller.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// use client::PaperOf;
    /// use wire::{PaperFormat, PaperSize};
    /// let statement = PaperOf::Statement("0197a000-0000-7000-8000-000000000001".parse()?);
    /// let document = client.paper(&statement, PaperFormat::Pdf, Some(PaperSize::A4)).await?;
    /// std::fs::write("statement.pdf", document)?;
    /// # Ok(()) }
    /// ```
    pub async fn paper(
        &self,
        of: &PaperOf,
        format: PaperFormat,
        paper: Option<PaperSize>,
    ) -> Result<Vec<u8>, ClientError> {
        let query = match of {
            PaperOf::Report(query) => Some(*query),
            PaperOf::Ticket(_) | PaperOf::Statement(_) | PaperOf::CrewSheet(..) => None,
        };
        self.get_bytes(&of.path(), &Formed { query, format, paper }).await
    }
}
