//! The exceptions of one kind, each with its tickets and figures.

use actix_web::web::{Data, Path, Query};
use actix_web::{HttpRequest, HttpResponse, get};
use client::{ExceptionQuery, SpanQuery};
use maud::{Markup, html};
use serde::Deserialize;
use wire::{ExceptionKind, ExceptionTicket, ExceptionView};

use super::addresses::page_of;
use super::asked::{Filled, id};
use super::{further, page};
use crate::desk::Desk;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Which page of the list.
#[derive(Debug, Default, Deserialize)]
pub struct After {
    after: Option<String>,
}

/// Shows them.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/exceptions/{kind}")]
pub async fn show(
    person: Person,
    desk: Data<Desk>,
    (kind, filled, after): (Path<String>, Query<Filled>, Query<After>),
    request: HttpRequest,
) -> Result<HttpResponse, Trouble> {
    let known = ExceptionKind::ALL.iter().copied().find(|one| one.name() == *kind);
    let kind = known.ok_or(Trouble::NoSuchPage)?;
    let filled = filled.into_inner().with_days(&person, &desk).await?;
    let (from, to) = filled.days()?;
    let of = ExceptionQuery::of(SpanQuery { from, to, job_id: id(&filled.job_id)? });
    let query = ExceptionQuery { kind: Some(kind), after: after.into_inner().after, ..of };
    let found = person.service.list_exceptions(&query).await?;
    let address = format!("/desk/audit/exceptions/{}", kind.name());
    let content = html! {
        p { (kind.means()) }
        p { strong { "What to do. " } (kind.what_to_do()) }
        p { a href={ "/desk/audit/exceptions?" (filled.as_query()) } { "All kinds, " (from) " to " (to) } }
        @if found.items.is_empty() { p { "There are none in these days." } }
        ol.found { @for item in &found.items { li { (one(item)) } } }
        (further(&address, request.query_string(), found.next.as_ref()))
    };
    Ok(page(
        &person,
        &papers::words::capital(&kind.name().replace('_', " ")),
        "/desk/audit/exceptions",
        &content,
    ))
}

fn one(found: &ExceptionView) -> Markup {
    let pages: Vec<String> = found.links.iter().filter_map(|link| page_of(link)).collect();
    html! {
        p { strong { (found.day) } ": " (super::sentence(&found.says)) }
        @if let (Some(figure), Some(seen)) = (&found.figure, &found.found) {
            p { (papers::words::capital(&figure.replace('_', " "))) ": found " (seen)
                @if let Some(expected) = &found.expected { ", expected " (expected) } "." }
        }
        @if let Some(one) = &found.statistics {
            p.help { "By " (one.method.replace('_', " ")) " among " (one.figures) " figures of " (one.group) ": score " (one.score)
                ", limit " (one.limit) "." }
        }
        @if let Some(reason) = &found.reason { p { "Reason given: " (reason) @if let Some(who) = &found.made_by { " (" (who) ")" } } }
        @if let Some(change) = &found.crews_change { p { "For crews it comes to " (change) "." } }
        @if let Some(change) = &found.mills_change { p { "For mills it comes to " (change) "." } }
        @if !found.tickets.is_empty() { ul { @for one in &found.tickets { li { (ticket(one)) } } } }
        @if let Some(further) = found.further_tickets { p { "And " (further) " further tickets." } }
        @for (number, to) in (1_u32..).zip(&pages).filter(|(_, to)| !to.starts_with("/desk/audit/tickets/")) {
            p { a href=(to) { "What it goes by (" (number) ")" } }
        }
    }
}

fn ticket(one: &ExceptionTicket) -> Markup {
    html! {
        a href={ "/desk/audit/tickets/" (one.ticket_id) } { (one.book) " " (one.number) } ", scaled on " (one.scaled_on)
        @for (place, piece) in one.pieces.iter().enumerate() {
            @if place == 0 { ": stick " } @else { ", " }
            a href={ "/desk/audit/tickets/" (one.ticket_id) "/pieces/" (piece) } { (piece) }
        }
    }
}
