//! Fetching what a comparison needs.

use jiff::ToSpan;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use kernel::Id;
use wire::{PiecesShown, SettlementCreate, SettlementState, SettlementView, TicketView};

use super::{Differences, compare};
use crate::{Client, ClientError, SettlementQuery, TicketQuery, all_pages};

/// A week drafted anew, and what changed since it was drafted last.
#[derive(Clone, Debug, PartialEq)]
pub struct Preview {
    /// The new draft.
    pub draft: SettlementView,
    /// What is different from the draft before; none where there was none.
    pub differences: Option<Differences>,
}

/// Drafts a week, and compares it with the draft before it, if there was one.
///
/// # Errors
///
/// [`ClientError`]; refused as [`Client::draft_settlement`] is.
///
/// ```no_run
/// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
/// let preview = client::comparing::gathering::preview(&client, jiff::civil::date(2031, 6, 7)).await?;
/// println!("{:?}", preview.differences.map(|found| found.lines.len()));
/// # Ok(()) }
/// ```
pub async fn preview(client: &Client, week_ends_on: Date) -> Result<Preview, ClientError> {
    let before = last_draft(client, week_ends_on).await?;
    let draft = client.draft_settlement(&SettlementCreate { week_ends_on, whole_history: false }).await?;
    let differences = match before {
        None => None,
        Some(before) => Some(since(client, &before, &draft).await?),
    };
    Ok(Preview { draft, differences })
}

/// What is different in `after`, with the tickets that came in between.
///
/// # Errors
///
/// [`ClientError`].
pub async fn since(
    client: &Client,
    before: &SettlementView,
    after: &SettlementView,
) -> Result<Differences, ClientError> {
    Ok(compare(before, after, &came_since(client, before).await?))
}

/// The draft of a week that was made last, with its lines.
///
/// # Errors
///
/// [`ClientError`].
pub async fn last_draft(client: &Client, week_ends_on: Date) -> Result<Option<SettlementView>, ClientError> {
    let drafts = all_pages(async |after| {
        let of_week =
            SettlementQuery { week_ends_on: Some(week_ends_on), after, ..SettlementQuery::default() };
        client.list_settlements(&of_week).await
    })
    .await?;
    let last =
        drafts.into_iter().filter(|one| one.state == SettlementState::Draft).max_by_key(|one| one.drafted_at);
    match last {
        None => Ok(None),
        Some(last) => client.show_settlement(last.settlement_id).await.map(Some),
    }
}

/// The tickets of a draft's week that were accepted after it was made, and those that they correct.
///
/// Tickets of earlier weeks are not among them: adjustments name theirs.
async fn came_since(client: &Client, draft: &SettlementView) -> Result<Vec<TicketView>, ClientError> {
    let day = draft.drafted_at.to_zoned(TimeZone::UTC).date();
    let query = TicketQuery {
        from: draft.week_ends_on.checked_sub(6.days()).ok(),
        to: Some(draft.week_ends_on),
        // Days are the outfit's, and its day may not have come yet.
        accepted_from: Some(day.yesterday().unwrap_or(day)),
        pieces: Some(PiecesShown::Scaled),
        // As many as the service shows at once with what contracts make of them.
        limit: Some(100),
        ..TicketQuery::default()
    };
    let mut came =
        all_pages(async |after| client.list_tickets(&TicketQuery { after, ..query.clone() }).await).await?;
    // Ids ascend too: they tell what came first in one and the same moment.
    let drafted = (draft.drafted_at, draft.settlement_id.uuid());
    came.retain(|ticket| (ticket.accepted_at, ticket.ticket_id.uuid()) > drafted);
    let corrected: Vec<_> = came.iter().filter_map(|ticket| ticket.corrects).collect();
    for wrong in corrected {
        if came.iter().all(|ticket| ticket.ticket_id != wrong) {
            came.push(client.show_ticket(wrong).await?);
        }
    }
    Ok(came)
}
