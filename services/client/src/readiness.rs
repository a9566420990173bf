//! What to look at before a week is posted: what holds it up, and what somebody would ask about later.

use jiff::ToSpan;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::Serialize;
use wire::{ExceptionSummary, GapView, SettlementView, TicketReference, TicketView, UnpricedView};

use crate::{Client, ClientError, PageQuery, SettlementQuery, SpanQuery, TicketQuery, all_pages};

/// Numbers missing from a scale book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BookGaps {
    /// The book.
    pub book: String,
    /// The numbers that are missing, lowest first.
    pub gaps: Vec<GapView>,
}

/// A ticket that came after its week was posted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LateTicket {
    /// The ticket.
    pub ticket: TicketReference,
    /// The day it was scaled.
    pub scaled_on: Date,
}

/// What to look at before a week is posted.
///
/// Only what is unpriced keeps it from being posted; the rest is for somebody to read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Readiness {
    /// The week's last day.
    pub week_ends_on: Date,
    /// What keeps it from being posted: tasks that nothing pays for, up to the end of the week.
    pub unpriced: Vec<UnpricedView>,
    /// Scale books with missing numbers.
    pub gaps: Vec<BookGaps>,
    /// Tickets that came after their week was posted and since the last posting: the draft adjusts by them.
    pub late: Vec<LateTicket>,
    /// The exceptions of the week's days, by kind.
    pub exceptions: ExceptionSummary,
}

impl Readiness {
    /// Whether nothing keeps the week from being posted.
    #[must_use]
    pub const fn can_be_posted(&self) -> bool {
        self.unpriced.is_empty()
    }
}

/// Looks at everything that bears on a draft of a week.
///
/// # Errors
///
/// [`ClientError`].
///
/// ```no_run
/// # async fn example(client: client::Client, draft: wire::SettlementView) -> Result<(), client::ClientError> {
/// let ready = client::readiness::of_week(&client, &draft).await?;
/// print!("{}", client::text::readiness(&ready));
/// # Ok(()) }
/// ```
pub async fn of_week(client: &Client, draft: &SettlementView) -> Result<Readiness, ClientError> {
    let week = draft.week_ends_on;
    let days = SpanQuery { from: week.checked_sub(6.days()).unwrap_or(week), to: week, job_id: None };
    Ok(Readiness {
        week_ends_on: week,
        unpriced: draft.unpriced.clone(),
        gaps: gaps(client).await?,
        late: late(client).await?,
        exceptions: client.summarize_exceptions(&days).await?,
    })
}

async fn gaps(client: &Client) -> Result<Vec<BookGaps>, ClientError> {
    let page = |after| PageQuery { after, limit: Some(500) };
    let books = all_pages(async |after| client.list_scale_books(&page(after)).await).await?;
    let mut found = Vec::new();
    for book in books.into_iter().filter(|book| book.missing > 0) {
        // A book that came from the service has a name that it takes.
        let Ok(name) = wire::Name::try_from(book.book.clone()) else { continue };
        let gaps = all_pages(async |after| client.list_gaps(&name, &page(after)).await).await?;
        found.push(BookGaps { book: book.book, gaps });
    }
    Ok(found)
}

async fn late(client: &Client) -> Result<Vec<LateTicket>, ClientError> {
    let posted = all_pages(async |after| {
        let posted =
            SettlementQuery { posted: Some(true), after, limit: Some(500), ..SettlementQuery::default() };
        client.list_settlements(&posted).await
    })
    .await?;
    let Some(last) = posted.iter().filter_map(|one| one.posted_at).max() else { return Ok(Vec::new()) };
    let day = last.to_zoned(TimeZone::UTC).date();
    let query = TicketQuery {
        late: Some(true),
        accepted_from: Some(day.yesterday().unwrap_or(day)),
        pieces: Some(wire::PiecesShown::None),
        limit: Some(500),
        ..TicketQuery::default()
    };
    let found =
        all_pages(async |after| client.list_tickets(&TicketQuery { after, ..query.clone() }).await).await?;
    let told = |ticket: TicketView| {
        let facts = &ticket.ticket;
        let (book, number) = (facts.book.as_str().to_owned(), i64::from(facts.number));
        LateTicket {
            ticket: TicketReference { ticket_id: ticket.ticket_id, book, number },
            scaled_on: facts.scaled_on,
        }
    };
    Ok(found.into_iter().filter(|ticket| ticket.accepted_at > last).map(told).collect())
}
