//! What an audit entry tells: the events that follow from one accepted change, worked out from the books.
//!
//! They follow from records that never change, so however often an event is worked out and sent it has the same id and
//! says the same.

use jiff::Timestamp;
use kernel::{Id, Money, SettlementId, StatementId, TicketId};
use settlement::Payee;
use sha2::{Digest, Sha256};
use storage::{Books, EventPlace, OutboxEntry, Outfit, Page, SettlementDraft, Statement, Ticket};
use uuid::Uuid;
use wire::{Event, EventContent, EventKind, StatementReady, TicketAccepted, TicketCorrected, WeekPosted};

use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;

/// One event, and its place among all of the outfit's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Happening {
    /// Its place.
    pub place: EventPlace,
    /// Its id: the same whenever it is told, and to whomever.
    pub id: Uuid,
    /// Its kind.
    pub kind: EventKind,
    /// What is told.
    pub event: Event,
    /// Whether the entry has no event of these kinds behind it.
    pub closes_entry: bool,
}

impl Happening {
    /// The kind with this name.
    #[must_use]
    pub fn kind(name: &str) -> Option<EventKind> {
        EventKind::ALL.into_iter().find(|kind| kind.name() == name)
    }
}

/// The events of these kinds that an entry tells, in their order.
///
/// # Errors
///
/// [`wire::Code::Internal`] when the books do not hold what the entry is about.
pub async fn told_by(
    books: &mut Books,
    entry: &OutboxEntry,
    kinds: &[EventKind],
) -> Result<Vec<Happening>, Refusal> {
    let all = match entry.operation.as_str() {
        "post_ticket" | "post_tickets" | "post_ticket_sheet" | "correct_ticket" => {
            vec![(entry.id.uuid(), of_ticket(&ticket(books, entry).await?)?)]
        }
        "post_settlement" => of_settlement(books, entry).await?,
        _ => Vec::new(),
    };
    let mut told: Vec<_> = (0_u32..)
        .zip(all)
        .filter_map(|(part, (id, content))| {
            let kind = Happening::kind(content.name()).filter(|kind| kinds.contains(kind))?;
            let place = EventPlace { transaction: entry.transaction, entry: entry.id, part };
            let event = Event { content, timestamp: entry.made_at };
            Some(Happening { place, id, kind, event, closes_entry: false })
        })
        .collect();
    if let Some(last) = told.last_mut() {
        last.closes_entry = true;
    }
    Ok(told)
}

async fn ticket(books: &mut Books, entry: &OutboxEntry) -> Result<Ticket, Refusal> {
    let id = TicketId::from_uuid(entry.about);
    books.ticket(id).await?.ok_or_else(|| Refusal::internal(format!("an entry is about no {id:?}")))
}

fn of_ticket(ticket: &Ticket) -> Result<EventContent, Refusal> {
    let ticket = &ticket.record;
    let pieces = count(ticket.pieces.len())?;
    Ok(match &ticket.corrects {
        None => EventContent::TicketAccepted(TicketAccepted {
            ticket_id: ticket.id,
            book: ticket.book.clone(),
            number: ticket.number,
            job_id: ticket.job,
            landing_id: ticket.landing,
            scaled_on: ticket.scaled_on,
            pieces,
        }),
        Some(correction) => EventContent::TicketCorrected(TicketCorrected {
            ticket_id: ticket.id,
            corrects: correction.of,
            void: pieces == 0,
            book: ticket.book.clone(),
            number: ticket.number,
            job_id: ticket.job,
            landing_id: ticket.landing,
            scaled_on: ticket.scaled_on,
            pieces,
        }),
    })
}

/// That the week was posted; then, in their order, its statements.
async fn of_settlement(books: &mut Books, entry: &OutboxEntry) -> Result<Vec<(Uuid, EventContent)>, Refusal> {
    let id = SettlementId::from_uuid(entry.about);
    let found = books.settlement(id).await?;
    let settlement = found.ok_or_else(|| Refusal::internal(format!("an entry is about no {id:?}")))?;
    let outfit = own(books).await?;
    let statements = all_statements(books, id).await?;
    let mut events = vec![(entry.id.uuid(), week_posted(&settlement, &statements, &outfit)?)];
    for statement in &statements {
        let content = statement_ready(statement, &settlement, &outfit);
        events.push((derived_id(entry.id.uuid(), statement.id), content));
    }
    Ok(events)
}

async fn all_statements(books: &mut Books, of: SettlementId) -> Result<Vec<Statement>, Refusal> {
    let mut page = Page { after: None, limit: 500 };
    let mut all = Vec::new();
    loop {
        let statements = books.statements(Some(of), None, page).await?;
        page.after = statements.last().map(|last| last.id);
        let full = statements.len() == usize::from(page.limit);
        all.extend(statements);
        if !full {
            return Ok(all);
        }
    }
}

fn week_posted(
    settlement: &SettlementDraft,
    statements: &[Statement],
    outfit: &Outfit,
) -> Result<EventContent, Refusal> {
    let sum = |workers: bool| {
        let of_these = statements.iter().filter(|one| matches!(one.payee, Payee::Worker(_)) == workers);
        let due = of_these
            .map(|one| {
                i128::from(one.earned_minor) + i128::from(one.added_minor) - i128::from(one.kept_back_minor)
            })
            .sum::<i128>();
        let due = i64::try_from(due).map_err(Refusal::internal)?;
        Ok::<_, Refusal>(Money::from_minor(due, outfit.currency))
    };
    Ok(EventContent::WeekPosted(WeekPosted {
        settlement_id: settlement.id,
        week_ends_on: settlement.week_ends_on,
        statements: count(statements.len())?,
        due_to_workers: sum(true)?,
        due_from_mills: sum(false)?,
    }))
}

fn statement_ready(statement: &Statement, settlement: &SettlementDraft, outfit: &Outfit) -> EventContent {
    let (worker_id, mill_id) = match statement.payee {
        Payee::Worker(worker) => (Some(worker), None),
        Payee::Mill(mill) => (None, Some(mill)),
    };
    EventContent::StatementReady(StatementReady {
        statement_id: statement.id,
        settlement_id: settlement.id,
        week_ends_on: settlement.week_ends_on,
        worker_id,
        mill_id,
        earned: Money::from_minor(statement.earned_minor, outfit.currency),
        closing: Money::from_minor(statement.closing_minor, outfit.currency),
    })
}

fn count(number: usize) -> Result<u32, Refusal> {
    u32::try_from(number).map_err(Refusal::internal)
}

/// The id of an entry's further event: a UUID of version 8 (RFC 9562, section 5.8) out of the two ids it hangs on.
fn derived_id(entry: Uuid, statement: StatementId) -> Uuid {
    let digest = Sha256::new().chain_update(entry).chain_update(statement.uuid()).finalize();
    let mut bytes = [0; 16];
    bytes.iter_mut().zip(digest).for_each(|(byte, drawn)| *byte = drawn);
    uuid::Builder::from_custom_bytes(bytes).into_uuid()
}

/// An event that nothing has happened for.
#[must_use]
pub fn trial(subscription: kernel::EventSubscriptionId, says: Option<String>, at: Timestamp) -> Event {
    let content =
        EventContent::SubscriptionTrial(wire::SubscriptionTrial { subscription_id: subscription, says });
    Event { content, timestamp: at }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derived_ids_are_the_same_every_time_and_differ_from_each_other() {
        let id = |last: u8| Uuid::from_bytes([last; 16]);
        let one = derived_id(id(1), StatementId::from_uuid(id(2)));
        assert_eq!(one, derived_id(id(1), StatementId::from_uuid(id(2))));
        assert_eq!(one.get_version_num(), 8);
        assert_ne!(one, derived_id(id(1), StatementId::from_uuid(id(3))));
        assert_ne!(one, derived_id(id(3), StatementId::from_uuid(id(2))));
    }
}
