//! Finding a ticket by its book and number, or a stick by its number within it.

use actix_web::http::header::LOCATION;
use actix_web::web::Query;
use actix_web::{HttpResponse, get};
use client::{TicketQuery, all_pages};
use maud::{Markup, html};
use serde::Deserialize;
use wire::PiecesShown;

use super::page;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// What is looked for.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Looked {
    book: String,
    number: String,
    stick: String,
}

/// Leads to the ticket or the stick; shows the form when nothing is looked for or nothing was found.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/find")]
pub async fn show(person: Person, looked: Query<Looked>) -> Result<HttpResponse, Trouble> {
    let said = if looked.book.trim().is_empty() && looked.number.trim().is_empty() {
        // Whoever may not see tickets is told so at once, not only when they look.
        let _may = person.service.list_contracts(&client::PageQuery { after: None, limit: Some(1) }).await?;
        None
    } else {
        match find(&person, &looked).await? {
            Ok(to) => return Ok(HttpResponse::SeeOther().insert_header((LOCATION, to)).finish()),
            Err(says) => Some(says),
        }
    };
    Ok(page(&person, "Find a ticket", "/desk/audit/find", &form(&looked, said.as_deref())))
}

/// Where it is, or why it was not found.
async fn find(person: &Person, looked: &Looked) -> Result<Result<String, String>, Trouble> {
    let (book, number, stick) = (looked.book.trim(), looked.number.trim(), looked.stick.trim());
    let Ok(number) = number.parse::<u32>() else {
        return Ok(Err(format!("The number of a ticket is a whole number, such as 17; {number:?} is none.")));
    };
    if !stick.is_empty() && stick.parse::<u16>().is_err() {
        return Ok(Err(format!(
            "The stick's place on the ticket is a whole number, such as 3; {stick:?} is none."
        )));
    }
    let all = all_pages(async |after| {
        let query = TicketQuery {
            book: Some(book.to_owned()),
            pieces: Some(PiecesShown::None),
            after,
            limit: Some(500),
            ..TicketQuery::default()
        };
        person.service.list_tickets(&query).await
    });
    let found = all.await?.into_iter().find(|one| one.ticket.number == number);
    Ok(match found {
        None => Err(format!("There is no ticket {book} {number} in the books that you may see.")),
        Some(ticket) if stick.is_empty() => Ok(format!("/desk/audit/tickets/{}", ticket.ticket_id)),
        Some(ticket) => Ok(format!("/desk/audit/tickets/{}/pieces/{stick}", ticket.ticket_id)),
    })
}

fn form(looked: &Looked, said: Option<&str>) -> Markup {
    html! {
        @if let Some(says) = said { p.refusal role="alert" id="not-found" { (says) } }
        p { "From the ticket you see every stick with what was done to it, which contract pays for it, at what rate, and on which \
    line it was paid." }
        form.narrow method="get" action="/desk/audit/find" {
            label for="book" { "Scale book" }
            input id="book" name="book" value=(looked.book) required autocomplete="off" aria-describedby=[said.map(|_| "not-found")];
            label for="number" { "Number" }
            input.short id="number" name="number" value=(looked.number) required inputmode="numeric" autocomplete="off"
                aria-describedby=[said.map(|_| "not-found")];
            label for="stick" { "Stick (leave it empty for all of them)" }
            input.short id="stick" name="stick" value=(looked.stick) inputmode="numeric" autocomplete="off";
            button id="find" type="submit" { "Find it" }
        }
    }
}
