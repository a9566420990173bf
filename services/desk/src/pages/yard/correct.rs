//! Opens a ticket for correction: the entry with the ticket's content, under the next number of its book.

use actix_web::web::{Data, Path};
use actix_web::{HttpResponse, get};
use kernel::TicketId;

use super::choices::Choices;
use super::draft::Draft;
use super::entry::{Told, page};
use super::only_who_scales;
use crate::desk::Desk;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// The entry, filled in.
///
/// # Errors
///
/// [`Trouble`] of the service.
#[get("/yard/tickets/{ticket}/correct")]
pub async fn show(desk: Data<Desk>, person: Person, ticket: Path<String>) -> Result<HttpResponse, Trouble> {
    only_who_scales(&person)?;
    let ticket: TicketId = ticket.parse().map_err(|_| Trouble::NoSuchPage)?;
    let view = person.service.show_ticket(ticket).await?;
    let choices = Choices::ask(&desk, &person).await?;
    page(&person, &choices, &Draft::of(&view, &choices), &Told::default()).await
}
