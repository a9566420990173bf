//! Voids a ticket: a correction without sticks, with a reason, under the next number of its book.

use actix_web::http::StatusCode;
use actix_web::http::header::LOCATION;
use actix_web::web::Path;
use actix_web::{HttpResponse, get, post};
use client::{ClientError, PageQuery, all_pages};
use kernel::TicketId;
use maud::{Markup, html};
use serde::Deserialize;
use wire::{CorrectionCreate, Remark, TicketView};

use super::only_who_scales;
use crate::form::{Sent, key_field};
use crate::page::{Page, Place};
use crate::session::person::Person;
use crate::trouble::{Trouble, refused};

/// What is filled in.
#[derive(Debug, Deserialize)]
pub struct Filled {
    #[serde(default)]
    number: String,
    #[serde(default)]
    reason: String,
}

/// Asks for the reason.
///
/// # Errors
///
/// [`Trouble`] of the service.
#[get("/yard/tickets/{ticket}/void")]
pub async fn show(person: Person, ticket: Path<String>) -> Result<HttpResponse, Trouble> {
    only_who_scales(&person)?;
    let view = found(&person, &ticket).await?;
    let service = &person.service;
    let page = |after| PageQuery { after, limit: Some(500) };
    let books = all_pages(async |after| service.list_scale_books(&page(after)).await).await?;
    let next = books
        .iter()
        .find(|book| book.book == view.ticket.book.as_str())
        .map_or(1, |book| book.last_number + 1);
    let filled = Filled { number: next.to_string(), reason: String::new() };
    Ok(form(&person, &view, &filled, None, StatusCode::OK))
}

/// Files it. Book and number are its identity: a form sent twice does it once.
///
/// # Errors
///
/// [`Trouble`]; what the service refuses is told above the form.
#[post("/yard/tickets/{ticket}/void")]
pub async fn file(sent: Sent<Filled>, ticket: Path<String>) -> Result<HttpResponse, Trouble> {
    let Sent { person, form: filled } = sent;
    only_who_scales(&person)?;
    let view = found(&person, &ticket).await?;
    let bad = |says: String| {
        let said = html! { div.refusal role="alert" { p { (says) } } };
        Ok(form(&person, &view, &filled, Some(said), StatusCode::UNPROCESSABLE_ENTITY))
    };
    let Ok(number) = filled.number.trim().parse() else {
        return bad("Number: write the number in the book that the voiding is to stand under.".to_owned());
    };
    let reason = match Remark::try_from(filled.reason.clone()) {
        Ok(reason) => reason,
        Err(error) => return bad(format!("Reason: {error}.")),
    };
    let mut empty = view.ticket.clone();
    (empty.number, empty.pieces, empty.work, empty.sent_at) = (number, Vec::new(), Vec::new(), None);
    let correction = CorrectionCreate { reason, ticket: empty };
    match person.service.correct_ticket(view.ticket_id, &correction).await {
        Ok(posted) => {
            let to = format!("/desk/yard/tickets/{}?was=void", posted.ticket.ticket_id);
            Ok(HttpResponse::SeeOther().insert_header((LOCATION, to)).finish())
        }
        Err(ClientError::Refused(problem)) if problem.status != 401 => {
            let status = StatusCode::from_u16(problem.status).unwrap_or(StatusCode::CONFLICT);
            Ok(form(&person, &view, &filled, Some(refused(&problem)), status))
        }
        Err(error) => Err(error.into()),
    }
}

async fn found(person: &Person, ticket: &str) -> Result<TicketView, Trouble> {
    let ticket: TicketId = ticket.parse().map_err(|_| Trouble::NoSuchPage)?;
    Ok(person.service.show_ticket(ticket).await?)
}

fn form(
    person: &Person,
    view: &TicketView,
    filled: &Filled,
    said: Option<Markup>,
    status: StatusCode,
) -> HttpResponse {
    let content = html! {
        @if let Some(said) = said { (said) }
        p { "Ticket " (view.ticket.book) " " (view.ticket.number) " will count for nothing. It stays readable, with your reason." }
        form.narrow method="post" action={ "/desk/yard/tickets/" (view.ticket_id) "/void" } {
            (key_field(person))
            label for="number" { "Number of the voiding in book " (view.ticket.book) }
            input id="number" name="number" inputmode="numeric" required value=(filled.number);
            label for="reason" { "Reason" }
            input id="reason" name="reason" required value=(filled.reason);
            button type="submit" id="do-void" { "Void the ticket" }
        }
    };
    Page { title: "Void a ticket", person: Some(person), here: Some(Place::Yard), scripts: &[], content }
        .answer(status)
}
