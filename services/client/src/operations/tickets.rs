//! Scale tickets.

use jiff::civil::Date;
use kernel::{CrewId, JobId, LandingId, TicketId};
use serde::Serialize;
use wire::{
    BatchLine, CorrectionCreate, Listing, PiecesShown, SetAsideCreate, SetAsideView, SheetAnswer,
    TicketCreate, TicketExplanation, TicketState, TicketView, TicketWorking,
};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

/// A ticket that the service has, and whether it had it before.
///
/// ```no_run
/// # async fn example(client: client::Client, ticket: wire::TicketCreate) -> Result<(), client::ClientError> {
/// let first = client.post_ticket(&ticket).await?;
/// let again = client.post_ticket(&ticket).await?;
/// assert!(again.replayed);
/// assert_eq!(again.ticket.ticket_id, first.ticket.ticket_id);
/// # Ok(()) }
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Posted {
    /// The ticket as it stands in the books.
    pub ticket: TicketView,
    /// Whether the same ticket was there already, so that nothing has changed.
    pub replayed: bool,
}

/// Which tickets to list, and which page of them.
///
/// ```
/// use client::TicketQuery;
/// let book = TicketQuery { book: Some("A".to_owned()), standing: Some(true), ..TicketQuery::default() };
/// assert_eq!(serde_json::to_string(&book)?, r#"{"book":"A","standing":true}"#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct TicketQuery {
    /// Of this job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
    /// Scaled on this landing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub landing_id: Option<LandingId>,
    /// With work of this crew.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crew_id: Option<CrewId>,
    /// From this scale book.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// By this scaler.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub scaler: Option<String>,
    /// Scaled on this day or later.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Date>,
    /// Scaled on this day or earlier.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<Date>,
    /// Accepted on this day or later, where the outfit is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub accepted_from: Option<Date>,
    /// Accepted on this day or earlier, where the outfit is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub accepted_to: Option<Date>,
    /// In this state.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub state: Option<TicketState>,
    /// Only tickets that no other one corrects.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standing: Option<bool>,
    /// Only tickets with something that nothing pays for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unpriced: Option<bool>,
    /// The ticket that takes the place of this one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corrects: Option<TicketId>,
    /// Only tickets that were accepted after their week was posted, or only the others.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub late: Option<bool>,
    /// How much of the pieces is shown; what was measured when none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pieces: Option<PiecesShown>,
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

impl Client {
    /// Posts a scale ticket. Its book and number are its identity: it may be sent as often as needed.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when another ticket has its number, or it contradicts itself.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// # let written = "";
    /// let posted = client.post_ticket(&serde_json::from_str(written)?).await?;
    /// println!("{} things nothing pays for", posted.ticket.unpriced.len());
    /// # Ok(()) }
    /// ```
    pub async fn post_ticket(&self, ticket: &TicketCreate) -> Result<Posted, ClientError> {
        let answer = self.post("/v1/tickets", ticket, Repeat::Harmless).await?;
        Ok(Posted { ticket: answer.body, replayed: answer.replayed })
    }

    /// Posts many scale tickets in one request, and tells what became of each: the good ones are kept, the bad ones
    /// explained. It may be sent again as often as needed.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; also when the answer was cut off, and then some may be kept and the rest not.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client, tickets: Vec<wire::TicketCreate>) -> Result<(), Box<dyn std::error::Error>> {
    /// for line in client.post_tickets(&tickets).await? {
    ///     if let wire::BatchLine::Refused(refused) = line {
    ///         println!("line {}: {}", refused.line, refused.problem);
    ///     }
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn post_tickets(&self, tickets: &[TicketCreate]) -> Result<Vec<BatchLine>, ClientError> {
        let mut lines = Vec::new();
        for ticket in tickets {
            serde_json::to_writer(&mut lines, ticket).map_err(|error| self.unwritable(&error))?;
            lines.push(b'\n');
        }
        self.post_ticket_lines(lines).await
    }

    /// Posts many scale tickets that are written already, one on a line of newline-delimited JSON. What no ticket can be read
    /// from is explained like any other refusal.
    ///
    /// # Errors
    ///
    /// As [`Client::post_tickets`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let answers = client.post_ticket_lines(std::fs::read("week.jsonl")?).await?;
    /// println!("{} answers", answers.len());
    /// # Ok(()) }
    /// ```
    pub async fn post_ticket_lines(&self, lines: Vec<u8>) -> Result<Vec<BatchLine>, ClientError> {
        let answer = self.post_as("/v1/ticket-batches", lines, "application/x-ndjson").await?;
        let lines: Vec<BatchLine> = serde_json::Deserializer::from_slice(&answer)
            .into_iter()
            .collect::<Result<_, _>>()
            .map_err(|error| self.unreadable(&error))?;
        match lines.last() {
            Some(BatchLine::Finished(_)) => Ok(lines),
            _ => Err(self.cut_off()),
        }
    }

    /// Posts the scale tickets of a sheet: comma-separated values, one row a piece. It may be sent again as often as
    /// needed.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is no sheet, or its columns are not those of tickets.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let answer = client.post_ticket_sheet(std::fs::read_to_string("week.csv")?).await?;
    /// println!("{} accepted, {} refused", answer.accepted, answer.refused);
    /// # Ok(()) }
    /// ```
    pub async fn post_ticket_sheet(&self, sheet: String) -> Result<SheetAnswer, ClientError> {
        let answer = self.post_as("/v1/ticket-sheets", sheet.into_bytes(), "text/csv").await?;
        serde_json::from_slice(&answer).map_err(|error| self.unreadable(&error))
    }

    /// A sheet for tickets to begin with: one row that names the columns.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// std::fs::write("week.csv", client.ticket_sheet_template().await?)?;
    /// # Ok(()) }
    /// ```
    pub async fn ticket_sheet_template(&self) -> Result<String, ClientError> {
        self.get_text("/v1/ticket-sheets/template", &()).await
    }

    /// Lists tickets, oldest accepted first, without what contracts make of them unless the query asks for it.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let page = client.list_tickets(&client::TicketQuery::default()).await?;
    /// println!("{} on this page", page.items.len());
    /// # Ok(()) }
    /// ```
    pub async fn list_tickets(&self, query: &TicketQuery) -> Result<Listing<TicketView>, ClientError> {
        self.get_with("/v1/tickets", query).await
    }

    /// Shows a ticket, and what every contract it touches makes of it.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// println!("{:?}", client.show_ticket(id).await?.state);
    /// # Ok(()) }
    /// ```
    pub async fn show_ticket(&self, ticket: TicketId) -> Result<TicketView, ClientError> {
        self.get(&format!("/v1/tickets/{ticket}")).await
    }

    /// Corrects a ticket by another that takes its place. The new one's book and number make it safe to send again.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the ticket was corrected already.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// # let written = "";
    /// let wrong = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let right = client.correct_ticket(wrong, &serde_json::from_str(written)?).await?;
    /// assert_eq!(right.ticket.corrects, Some(wrong));
    /// # Ok(()) }
    /// ```
    pub async fn correct_ticket(
        &self,
        wrong: TicketId,
        right: &CorrectionCreate,
    ) -> Result<Posted, ClientError> {
        let path = format!("/v1/tickets/{wrong}/corrections");
        let answer = self.post(&path, right, Repeat::Harmless).await?;
        Ok(Posted { ticket: answer.body, replayed: answer.replayed })
    }

    /// Shows the working of a ticket: every step from the readings to the net scale.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// println!("{} pieces", client.show_working(id).await?.pieces.len());
    /// # Ok(()) }
    /// ```
    pub async fn show_working(&self, ticket: TicketId) -> Result<TicketWorking, ClientError> {
        self.get(&format!("/v1/tickets/{ticket}/working")).await
    }

    /// Follows a ticket up to the pay: for each piece and task, whether and where it was paid.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// print!("{}", client::text::ticket_explanation(&client.explain_ticket(id).await?));
    /// # Ok(()) }
    /// ```
    pub async fn explain_ticket(&self, ticket: TicketId) -> Result<TicketExplanation, ClientError> {
        self.get(&format!("/v1/tickets/{ticket}/explanation")).await
    }

    /// Follows one piece of a ticket, by its place on it from 1, up to the pay.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the ticket is not in the books, or has no such piece.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// print!("{}", client::text::ticket_explanation(&client.explain_piece(id, 2).await?));
    /// # Ok(()) }
    /// ```
    pub async fn explain_piece(
        &self,
        ticket: TicketId,
        piece: u16,
    ) -> Result<TicketExplanation, ClientError> {
        self.get(&format!("/v1/tickets/{ticket}/pieces/{piece}/explanation")).await
    }

    /// Sets an unpriced task of a ticket aside, with a reason, so that it no longer holds up the week.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the ticket is not in the books or has no such piece.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let decision = serde_json::from_str(r#"{"task": "peeling", "reason": "peeled by the mill"}"#)?;
    /// client.set_aside(id, &decision).await?;
    /// # Ok(()) }
    /// ```
    pub async fn set_aside(
        &self,
        ticket: TicketId,
        decision: &SetAsideCreate,
    ) -> Result<SetAsideView, ClientError> {
        Ok(self.post(&format!("/v1/tickets/{ticket}/set-asides"), decision, Repeat::Keyed).await?.body)
    }
}
