//! An exception on its way into the list: what all kinds have in common, and its place.

use sha2::{Digest, Sha256};
use storage::{ContractParty, Found, TicketPieces};
use wire::{ExceptionKind, ExceptionTicket, ExceptionView, Party};

use crate::http::refusal::Refusal;

/// How many tickets are named.
const MOST_TICKETS: usize = 20;

/// An exception and its place in the list: by kind, day, first ticket, and then by what it says, so that the place is the
/// same each time it is found.
#[derive(Debug)]
pub struct Listed {
    /// The place.
    pub place: String,
    /// The exception.
    pub view: ExceptionView,
}

impl Listed {
    pub(super) fn new(view: ExceptionView) -> Result<Self, Refusal> {
        let kind = ExceptionKind::ALL.iter().position(|kind| *kind == view.kind).unwrap_or_default();
        let text = serde_json::to_vec(&view).map_err(Refusal::internal)?;
        let [mark @ .., _, _, _, _, _, _, _, _, _, _, _, _, _, _, _, _] =
            <[u8; 32]>::from(Sha256::digest(text));
        let mark = uuid::Uuid::from_bytes(mark);
        let (book, number) =
            view.tickets.first().map_or(("", 0), |ticket| (ticket.book.as_str(), ticket.number));
        let place = format!("{kind:02} {} {book} {number:010} {mark}", view.day);
        Ok(Self { place, view })
    }
}

/// What every kind begins with; the figures of the kind are filled in by whoever found it.
pub(super) fn begin<F>(kind: ExceptionKind, found: &Found<F>, says: String) -> ExceptionView {
    let further = u32::try_from(found.tickets.len().saturating_sub(MOST_TICKETS)).unwrap_or(u32::MAX);
    ExceptionView {
        kind,
        says,
        day: found.day,
        job_id: found.job,
        tickets: found.tickets.iter().take(MOST_TICKETS).map(ticket).collect(),
        further_tickets: (further > 0).then_some(further),
        party: None,
        task: None,
        product: None,
        species: None,
        stick_number: None,
        figure: None,
        expected: None,
        found: None,
        statistics: None,
        made_by: None,
        made_at: None,
        reason: None,
        settlement_id: None,
        crews_change: None,
        mills_change: None,
        links: found.tickets.iter().take(MOST_TICKETS).map(link).collect(),
    }
}

fn link(ticket: &TicketPieces) -> String {
    format!("/v1/tickets/{}", ticket.ticket_id)
}

fn ticket(ticket: &TicketPieces) -> ExceptionTicket {
    ExceptionTicket {
        ticket_id: ticket.ticket_id,
        book: ticket.book.clone(),
        number: ticket.number,
        scaled_on: ticket.scaled_on,
        pieces: ticket.pieces.clone(),
    }
}

/// The party that two ids name.
pub(super) fn party(crew: Option<kernel::CrewId>, mill: Option<kernel::MillId>) -> Option<ContractParty> {
    crew.map(ContractParty::Crew).or(mill.map(ContractParty::Mill))
}

/// The same as it is shown.
pub(super) fn shown(party: Option<ContractParty>) -> Option<Party> {
    party.map(crate::books::names::party_view)
}

/// Tickets by their names: `A 12, pieces 1 and 3; A 13`. Of many, the first few.
pub(super) fn named(tickets: &[TicketPieces]) -> String {
    const NAMED: usize = 5;
    let one = |ticket: &TicketPieces| {
        let name = format!("{} {}", ticket.book, ticket.number);
        let pieces: Vec<_> = ticket.pieces.iter().map(ToString::to_string).collect();
        match pieces.as_slice() {
            [] => name,
            [piece] => format!("{name}, piece {piece}"),
            pieces => format!("{name}, pieces {}", pieces.join(", ")),
        }
    };
    let mut named: Vec<_> = tickets.iter().take(NAMED).map(one).collect();
    if tickets.len() > NAMED {
        named.push(format!("and {} more", tickets.len().saturating_sub(NAMED)));
    }
    named.join("; ")
}

/// Tasks in a sentence: `skidding, delivery`.
pub(super) fn tasks(tasks: &[settlement::Task]) -> String {
    tasks.iter().map(|task| task.name()).collect::<Vec<_>>().join(", ")
}
