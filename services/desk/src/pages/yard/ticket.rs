//! One ticket: what was measured, how it was scaled, what corrects it, what no contract covers. Nothing of pay.

use actix_web::web::{Data, Path, Query};
use actix_web::{HttpResponse, get};
use kernel::TicketId;
use maud::{Markup, html};
use serde::Deserialize;
use wire::{ContractScale, TicketState, TicketView};

use super::choices::Choices;
use super::draft::Draft;
use super::tickets::stands;
use super::{only_who_scales, said};
use crate::desk::Desk;
use crate::page::{Page, Place};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// What has just been done.
#[derive(Debug, Deserialize)]
pub struct Was {
    #[serde(default)]
    was: String,
}

/// The ticket.
///
/// # Errors
///
/// [`Trouble`] of the service.
#[get("/yard/tickets/{ticket}")]
pub async fn show(
    desk: Data<Desk>,
    person: Person,
    ticket: Path<String>,
    was: Query<Was>,
) -> Result<HttpResponse, Trouble> {
    only_who_scales(&person)?;
    let ticket: TicketId = ticket.parse().map_err(|_| Trouble::NoSuchPage)?;
    let view = person.service.show_ticket(ticket).await?;
    let choices = Choices::ask(&desk, &person).await?;
    let draft = Draft::of(&view, &choices);
    let title = format!("Ticket {} {}", view.ticket.book, view.ticket.number);
    let content = html! {
        (done(&was.was))
        (standing(&view))
        h2 { "Measured" }
        (measured(&view, &draft, &choices))
        h2 { "Scaled" }
        @for scaled in &view.scaled { (by_contract(scaled)) }
        @if view.scaled.is_empty() { p { "No contract scales it." } }
        (not_covered(&view))
        (next(&view))
    };
    Ok(Page { title: &title, person: Some(&person), here: Some(Place::Yard), scripts: &[], content }.found())
}

fn done(was: &str) -> Markup {
    let says = match was {
        "kept" => "The ticket is in the books.",
        "again" => "The books had this very ticket already; nothing has changed.",
        "void" => "The ticket that it corrects is void.",
        _ => return html! {},
    };
    html! { div.done role="status" { p { (says) } } }
}

fn standing(view: &TicketView) -> Markup {
    html! {
        dl.facts {
            div { dt { "Stands" } dd { (stands(view.state)) } }
            @if let Some(by) = view.corrected_by { div { dt { "Corrected by" } dd { a href={ "/desk/yard/tickets/" (by) } { "the ticket that took its place" } } } }
            @if let Some(wrong) = view.corrects { div { dt { "Corrects" } dd { a href={ "/desk/yard/tickets/" (wrong) } { "an earlier ticket" } } } }
            @if let Some(reason) = &view.correction_reason { div { dt { "Because" } dd { (reason) } } }
            div { dt { "Accepted" } dd { (crate::page::moment(view.accepted_at)) " from " (view.accepted_by) @if view.late { ", after its week was posted" } } }
        }
    }
}

fn measured(view: &TicketView, draft: &Draft, choices: &Choices) -> Markup {
    // The ticket's own number, not the next one that a correction would have.
    let head = said::head(draft, choices).into_iter().filter(|(name, _)| name != "Ticket");
    html! {
        dl.facts { @for (name, says) in head { div { dt { (name) } dd { (says) } } } }
        @if view.ticket.pieces.is_empty() { p { "Nothing: it voids the ticket it corrects." } } @else {
            ol id="measured" { @for piece in &view.ticket.pieces { li { (client::text::stick(piece)) } } }
        }
    }
}

fn by_contract(scaled: &ContractScale) -> Markup {
    html! {
        div.wide tabindex="0" role="region" aria-label=(scaled.contract_title) {
            table.scaled {
                caption { (scaled.contract_title) }
                thead { tr {
                    th.figure scope="col" { "Stick" } th.figure scope="col" { "Gross" } th.figure scope="col" { "Net" }
                    th scope="col" { "Unit" } th scope="col" { "Cull" }
                } }
                tbody { @for piece in &scaled.pieces { tr {
                    th.figure scope="row" { (piece.piece) }
                    td.figure { @if let Some(gross) = piece.gross { (gross) } }
                    td.figure { @if let Some(net) = piece.net { (net) } }
                    td { @if let Some(unit) = piece.unit { (unit.words()) } }
                    td { @if let Some(cull) = &piece.cull { (cull) } }
                } } }
            }
        }
    }
}

/// What no contract covers. It holds up the week, so the office should hear of it.
fn not_covered(view: &TicketView) -> Markup {
    html! {
        @if !view.unpriced.is_empty() {
            h2 { "Not covered by a contract" }
            p { "Tell the office: the week waits until a contract covers these, or they are set aside." }
            ul id="not-covered" { @for open in &view.unpriced { li {
                @match open.piece { Some(piece) => { "Stick " (piece) }, None => { "The turn" } } ", " (open.task.name()) ": " (open.says)
            } } }
        }
        @for aside in &view.set_aside {
            p { "Set aside: " (aside.task.name()) @if let Some(piece) = aside.piece { ", stick " (piece) } ": " (aside.reason) " (" (aside.made_by) ")" }
        }
    }
}

fn next(view: &TicketView) -> Markup {
    html! {
        @if view.state == TicketState::Standing {
            p {
                a.button.second id="correct" href={ "/desk/yard/tickets/" (view.ticket_id) "/correct" } { "Correct it" }
                a.button.second id="void" href={ "/desk/yard/tickets/" (view.ticket_id) "/void" } { "Void it" }
            }
        }
        p { "On paper: "
            a #paper-pdf href={ "/desk/papers/tickets/" (view.ticket_id) ".pdf" } { "to print (PDF)" } ", "
            a #paper-html href={ "/desk/papers/tickets/" (view.ticket_id) ".html" } { "to read (HTML)" } "." }
        p { a href="/desk/yard" { "Enter a ticket" } " · " a href={ "/desk/yard/tickets?day=" (view.ticket.scaled_on) } { "Tickets of this day" } }
    }
}
