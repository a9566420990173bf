//! The tickets that a figure is made of, with what rates count of them.

use crate::table::{Cell, Table};
use actix_web::{HttpRequest, HttpResponse, get};
use maud::html;
use wire::{Listing, TicketView};

use super::{further, page};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Shows them; the query is the API's own.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/tickets")]
pub async fn show(person: Person, request: HttpRequest) -> Result<HttpResponse, Trouble> {
    let query = request.query_string();
    let tickets: Listing<TicketView> = person.service.follow(&format!("/v1/tickets?{query}")).await?;
    let content = html! {
        p { "Each leads on to its sticks, and from there up to the pay." }
        @if tickets.items.is_empty() { p { "There are none." } } @else { (table(&tickets.items).shown()) }
        (further("/desk/audit/tickets", query, tickets.next.as_ref()))
    };
    Ok(page(&person, "Tickets", "", &content))
}

/// A ticket to a row.
#[must_use]
pub fn table(tickets: &[TicketView]) -> Table {
    let heads = ["Ticket", "Scaled on", "Scaler", "Pieces", "State", "Counted by rates"];
    let mut table = Table::new("table-tickets", "Tickets", &heads);
    for one in tickets {
        table.rows.push(vec![
            Cell::Link {
                says: format!("{} {}", one.ticket.book.as_str(), one.ticket.number),
                to: format!("/desk/audit/tickets/{}", one.ticket_id),
                head: true,
            },
            Cell::Words(one.ticket.scaled_on.to_string()),
            Cell::Words(one.ticket.scaler.to_string()),
            Cell::figure(one.piece_count),
            Cell::Words(one.state.name().to_owned()),
            Cell::Words(counted(one)),
        ]);
    }
    table
}

/// What the rates of all contracts count of it, as the service counts.
fn counted(ticket: &TicketView) -> String {
    let all = ticket.scaled.iter().flat_map(|scale| &scale.accruals);
    all.map(|one| format!("{}: {}", one.rate_name, one.quantity)).collect::<Vec<_>>().join("; ")
}
