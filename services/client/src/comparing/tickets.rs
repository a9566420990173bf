//! Which tickets touch a line.

use std::collections::BTreeMap;

use jiff::ToSpan;
use serde::Serialize;
use wire::{LineView, TicketReference, TicketView};

use super::Difference;

/// A line that is new, gone or changed, and the tickets behind it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LineDifference {
    /// The line before and after.
    #[serde(flatten)]
    pub change: Difference<LineView>,
    /// The tickets that came between the drafts and touch it, and those that they correct; for an adjustment, the
    /// tickets that only one of the two drafts takes back or pays. Empty where no ticket is behind it: then terms, shares,
    /// hours or a check scale changed.
    pub tickets: Vec<TicketReference>,
}

/// A difference with the tickets behind it.
pub(super) fn touching(change: Difference<LineView>, came: &[TicketView]) -> LineDifference {
    let mut tickets = BTreeMap::new();
    let mut name = |ticket: TicketReference| tickets.insert((ticket.book.clone(), ticket.number), ticket);
    for line in [change.before(), change.after()].into_iter().flatten() {
        for ticket in came.iter().filter(|ticket| touches(ticket, line)) {
            name(reference(ticket));
        }
    }
    let (before, after) = (adjusts(change.before()), adjusts(change.after()));
    let only_once = before
        .iter()
        .filter(|one| !after.contains(one))
        .chain(after.iter().filter(|one| !before.contains(one)));
    for (_, ticket) in only_once {
        name((*ticket).clone());
    }
    LineDifference { change, tickets: tickets.into_values().collect() }
}

/// The tickets that an adjustment names, with whether it takes them back.
fn adjusts(line: Option<&LineView>) -> Vec<(bool, &TicketReference)> {
    let Some(line) = line else { return Vec::new() };
    let back = line.withdrawn.iter().map(|ticket| (true, ticket));
    back.chain(line.entered.iter().map(|ticket| (false, ticket))).collect()
}

fn reference(ticket: &TicketView) -> TicketReference {
    let (book, number) = (ticket.ticket.book.as_str().to_owned(), i64::from(ticket.ticket.number));
    TicketReference { ticket_id: ticket.ticket_id, book, number }
}

/// Whether what was done on a ticket falls under a line: its week, its task and its crew or mill, and where the ticket
/// says what contracts make of it, its rate.
fn touches(ticket: &TicketView, line: &LineView) -> bool {
    let first = line.week_ends_on.checked_sub(6.days()).unwrap_or(line.week_ends_on);
    if !(first..=line.week_ends_on).contains(&ticket.ticket.scaled_on) {
        return false;
    }
    let by_crew = ticket.ticket.work.iter();
    let by_crew = || by_crew.clone().any(|work| work.task == line.task && Some(work.crew_id) == line.crew_id);
    let by_mill = || line.mill_id.is_some() && ticket.ticket.delivered_to == line.mill_id;
    if !by_crew() && !by_mill() {
        return false;
    }
    let under = |scaled: &wire::ContractScale| {
        scaled.contract_id == line.contract_id
            && scaled.terms_id == line.terms_id
            && scaled.accruals.iter().any(|accrual| accrual.rate_number == line.rate_number)
    };
    // A ticket that another one corrects says no longer what contracts made of it.
    ticket.scaled.is_empty() || ticket.scaled.iter().any(under)
}
