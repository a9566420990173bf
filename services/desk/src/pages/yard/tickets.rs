//! The tickets of a day.

use actix_web::web::{Data, Query};
use actix_web::{HttpResponse, get};
use client::{TicketQuery, all_pages};
use jiff::civil::Date;
use maud::{Markup, html};
use serde::Deserialize;
use wire::{PiecesShown, Role, TicketState, TicketView};

use super::choices::today;
use super::only_who_scales;
use crate::desk::Desk;
use crate::page::{Page, Place};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Of which day, and whose.
#[derive(Debug, Deserialize)]
pub struct Asked {
    #[serde(default)]
    day: String,
    #[serde(default)]
    scaler: Option<String>,
}

/// The list.
///
/// # Errors
///
/// [`Trouble`] of the service.
#[get("/yard/tickets")]
pub async fn list(desk: Data<Desk>, person: Person, asked: Query<Asked>) -> Result<HttpResponse, Trouble> {
    only_who_scales(&person)?;
    let day: Date = match asked.day.as_str() {
        "" => today(&desk, &person).await?,
        day => day.parse().map_err(|_| Trouble::Unreadable(format!("{day} is no day")))?,
    };
    // A scaler sees their own first; whoever keeps the books sees everybody's.
    let own = (person.role() == Role::Scaler).then(|| person.session.signed_in.subject.clone());
    let scaler = asked.scaler.clone().or(own).unwrap_or_default();
    let query = TicketQuery {
        from: Some(day),
        to: Some(day),
        scaler: Some(scaler.clone()).filter(|name| !name.is_empty()),
        pieces: Some(PiecesShown::None),
        limit: Some(500),
        ..TicketQuery::default()
    };
    let service = &person.service;
    let tickets =
        all_pages(async |after| service.list_tickets(&TicketQuery { after, ..query.clone() }).await).await?;
    let content = html! {
        form.row method="get" action="/desk/yard/tickets" {
            div { label for="day" { "Day scaled" } input id="day" name="day" type="date" value=(day); }
            div { label for="scaler" { "Scaled by" } input id="scaler" name="scaler" value=(scaler) aria-describedby="scaler-help";
                p.help id="scaler-help" { "Empty: everybody" } }
            div { button type="submit" id="do-list" { "Show" } }
        }
        (table(day, &tickets))
        p { a href="/desk/yard" { "Enter a ticket" } " · " a href="/desk/yard/books" { "Scale books and missing numbers" } }
    };
    Ok(Page {
        title: "Tickets of the day",
        person: Some(&person),
        here: Some(Place::Yard),
        scripts: &[],
        content,
    }
    .found())
}

fn table(day: Date, tickets: &[TicketView]) -> Markup {
    html! {
        @if tickets.is_empty() { p id="no-tickets" { "No ticket was scaled on " (day.strftime("%A %Y-%m-%d")) "." } } @else {
            div.wide tabindex="0" role="region" aria-label="Tickets" {
                table id="tickets" {
                    caption { "Scaled on " (day.strftime("%A %Y-%m-%d")) }
                    thead { tr { th scope="col" { "Ticket" } th.figure scope="col" { "Sticks" } th scope="col" { "Scaled by" } th scope="col" { "Stands" } } }
                    tbody { @for view in tickets { tr {
                        th scope="row" { a href={ "/desk/yard/tickets/" (view.ticket_id) } { (view.ticket.book) " " (view.ticket.number) } }
                        td.figure { (view.piece_count) }
                        td { (view.ticket.scaler) }
                        td { (stands(view.state)) }
                    } } }
                }
            }
        }
    }
}

/// Whether it counts, in words.
#[must_use]
pub const fn stands(state: TicketState) -> &'static str {
    match state {
        TicketState::Standing => "counts",
        TicketState::Corrected => "corrected by another",
        TicketState::Void => "void",
    }
}
