//! A line of pay followed down to the sticks, with every rounding.

use crate::table::{Cell, Table};
use actix_web::http::header::LOCATION;
use actix_web::web::Path;
use actix_web::{HttpResponse, get};
use kernel::{SettlementId, StatementId};
use maud::{Markup, html};
use settlement::LineKind;
use wire::{ExplainedPiece, ExplainedTicket, LineExplanation, SplitStep};

use super::{facts, page, sentence, sentences};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Shows a line of a settlement.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/settlements/{settlement}/lines/{line}")]
pub async fn of_settlement(person: Person, path: Path<(SettlementId, i32)>) -> Result<HttpResponse, Trouble> {
    let (settlement, line) = path.into_inner();
    let explained = person.service.explain_line(settlement, line).await?;
    let title = format!("How line {line} came about");
    Ok(page(&person, &title, "", &content(&explained)))
}

/// Leads to the week of a settlement, where it stands whole.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/settlements/{settlement}")]
pub async fn week_of_settlement(person: Person, id: Path<SettlementId>) -> Result<HttpResponse, Trouble> {
    let week = person.service.show_settlement(*id).await?.week_ends_on;
    Ok(HttpResponse::SeeOther().insert_header((LOCATION, format!("/desk/week/{week}"))).finish())
}

/// Shows a line of somebody's statement: their part, and below it the line.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/statements/{statement}/lines/{line}")]
pub async fn of_statement(person: Person, path: Path<(StatementId, i32)>) -> Result<HttpResponse, Trouble> {
    let (statement, line) = path.into_inner();
    let explained = person.service.explain_statement_line(statement, line).await?;
    let title = format!("How line {line} of {}'s statement came about", explained.payee.name);
    let known = [
        ("Settled with", format!("the week ending {}", wire::words::day(explained.week_ends_on))),
        ("Part", explained.amount.to_string()),
    ];
    let content = html! { (facts(&known)) p { (sentence(&explained.says)) } (content(&explained.explained)) };
    Ok(page(&person, &title, "", &content))
}

fn content(explained: &LineExplanation) -> Markup {
    let line = &explained.line;
    let basis = line.basis.map_or(String::new(), |basis| format!(", {}", basis.name()));
    let unit = line.unit.name().replace('_', " ");
    let known = [
        ("Work", format!("{}: {}", line.task.name().replace('_', " "), line.rate_name)),
        ("Contract", format!("{}: {}", line.contract_title, line.party_name)),
        ("Week ending", wire::words::day(line.week_ends_on)),
        ("Price", format!("{} by the {unit}{basis}", line.price)),
        ("Quantity", line.quantity.to_string()),
        ("Amount", line.amount.to_string()),
    ];
    html! {
        (facts(&known))
        @if line.kind == LineKind::Adjustment {
            p.notice { "An adjustment of a week already posted: the books now say " (line.now_amount) "; posted before "
                (line.formerly_amount) "; the line is the difference." }
        }
        p { a href={ "/desk/contracts/" (line.contract_id) } { "The contract and its terms" } }
        h2 { "How the amount came about" }
        @for says in explained.says.lines() { p { (says) } }
        (divided(&explained.split))
        @if !explained.tickets.is_empty() { h2 { "Tickets and their sticks" } }
        @for one in &explained.tickets { (ticket(one)) }
        @for one in &explained.adjustments {
            h3 { "Adjustment after a check scale: " (one.quantity) @if one.withdrawn { ", taken back" } }
            p { a href={ "/desk/audit/check-scales/" (one.adjustment.check_scale_id) } { "The check scale" } }
            (sentences(&one.says))
        }
        @if !explained.time.is_empty() {
            h2 { "Hours" }
            ul { @for entry in &explained.time {
                li { (entry.worked_on) ": " @if let Some(hours) = entry.hours { (hours.to_string()) } @else { "none" }
                    @if entry.corrected_by.is_some() { ", corrected since" } }
            } }
        }
    }
}

fn divided(split: &[SplitStep]) -> Markup {
    let heads = ["Member", "Parts", "Exact part", "Left-over unit", "Gets"];
    let mut table = Table::new("table-split", "How the crew divided it", &heads);
    for step in split {
        table.rows.push(vec![
            Cell::Head(step.payee.name.clone()),
            Cell::figure(step.parts),
            Cell::figure(step.quota),
            Cell::Words(if step.by_remainder { "one of them" } else { "" }.to_owned()),
            Cell::figure(step.amount),
        ]);
    }
    html! {
        @if !split.is_empty() {
            (table.shown())
            p.help { "Exact parts are in the smallest unit of the currency, rounded down; the units left over go to the largest \
    remainders, and among equal ones by the order of the list." }
        }
    }
}

fn ticket(one: &ExplainedTicket) -> Markup {
    html! {
        section.stick {
            h3 {
                a href={ "/desk/audit/tickets/" (one.ticket.ticket_id) } { "Ticket " (one.ticket.book) " " (one.ticket.number) }
                ", scaled on " (one.scaled_on) ": " (one.quantity) @if one.withdrawn { ", taken back" }
            }
            (sentences(&one.says))
            ol.sticks { @for piece in &one.pieces { li value=(piece.piece) { (stick(piece, one)) } } }
        }
    }
}

fn stick(piece: &ExplainedPiece, ticket: &ExplainedTicket) -> Markup {
    html! {
        a href={ "/desk/audit/tickets/" (ticket.ticket.ticket_id) "/pieces/" (piece.piece) } { (client::text::stick(&piece.facts)) }
        @if let (Some(gross), Some(net), Some(unit)) = (piece.gross, piece.net, piece.unit) {
            ": gross " (gross) ", net " (net) " " (unit.words())
        }
        @if let Some(why) = &piece.cull { "; cull: " (why) }
        @if !piece.working.is_empty() {
            details { summary { "Working" } ol { @for step in &piece.working { li { (sentence(step)) } } } }
        }
    }
}
