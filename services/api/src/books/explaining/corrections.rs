//! The tickets that took the place of one another.

use std::collections::HashSet;

use kernel::MillId;
use storage::{Books, Ticket};
use wire::{CorrectionStep, TicketReference};

use crate::http::refusal::Refusal;

/// Whether a mill may see a ticket; everybody else may.
fn is_seen(ticket: &Ticket, mill: Option<MillId>) -> bool {
    mill.is_none_or(|mill| ticket.record.delivered_to == Some(mill))
}

fn reference(ticket: &Ticket) -> TicketReference {
    let record = &ticket.record;
    TicketReference { ticket_id: record.id, book: record.book.clone(), number: record.number }
}

/// Those that took a ticket's place one after another, the one that stands now last. A mill sees those that were
/// delivered to it.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn after(
    books: &mut Books,
    ticket: &Ticket,
    mill: Option<MillId>,
) -> Result<Vec<CorrectionStep>, Refusal> {
    let mut steps = Vec::new();
    let mut next = ticket.corrected_by;
    // A correction names an older ticket, so the chain ends; books that were tampered with may hold a ring.
    let mut met = HashSet::from([ticket.record.id]);
    while let Some(id) = next.filter(|id| met.insert(*id)) {
        let Some(one) = books.ticket(id).await? else { break };
        next = one.corrected_by;
        if is_seen(&one, mill) {
            let record = &one.record;
            steps.push(CorrectionStep {
                ticket: reference(&one),
                reason: record
                    .corrects
                    .as_ref()
                    .map(|correction| correction.reason.clone())
                    .unwrap_or_default(),
                void: record.pieces.is_empty(),
                accepted_by: record.accepted.by.clone(),
                accepted_at: record.accepted.at,
            });
        }
    }
    Ok(steps)
}

/// The ticket whose place this one took.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn before(
    books: &mut Books,
    ticket: &Ticket,
    mill: Option<MillId>,
) -> Result<Option<TicketReference>, Refusal> {
    let Some(correction) = &ticket.record.corrects else { return Ok(None) };
    let found = books.ticket(correction.of).await?;
    Ok(found.filter(|one| is_seen(one, mill)).map(|one| reference(&one)))
}
