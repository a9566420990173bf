//! A ticket, or one stick of it, followed up to the pay.

use actix_web::web::Path;
use actix_web::{HttpResponse, get};
use kernel::TicketId;
use maud::{Markup, html};
use wire::{
    PieceExplanation, RateExplanation, Role, TaskExplanation, TermsExplanation, TicketExplanation,
    TicketReference, TicketState,
};

use super::{facts, page, sentence, sentences};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Shows all sticks of a ticket.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/tickets/{ticket}")]
pub async fn show(person: Person, ticket: Path<TicketId>) -> Result<HttpResponse, Trouble> {
    let explained = person.service.explain_ticket(*ticket).await?;
    let title = format!("Ticket {} {}", explained.ticket.book, explained.ticket.number);
    Ok(page(&person, &title, "", &content(&person, &explained)))
}

/// Shows one stick.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/tickets/{ticket}/pieces/{piece}")]
pub async fn show_piece(person: Person, path: Path<(TicketId, u16)>) -> Result<HttpResponse, Trouble> {
    let (ticket, piece) = path.into_inner();
    let explained = person.service.explain_piece(ticket, piece).await?;
    let title = format!("Stick {piece} of ticket {} {}", explained.ticket.book, explained.ticket.number);
    Ok(page(&person, &title, "", &content(&person, &explained)))
}

fn link(ticket: &TicketReference) -> Markup {
    html! { a href={ "/desk/audit/tickets/" (ticket.ticket_id) } { (ticket.book) " " (ticket.number) } }
}

fn content(person: &Person, explained: &TicketExplanation) -> Markup {
    let stands = match explained.state {
        TicketState::Standing => "yes",
        TicketState::Corrected => "no, corrected",
        TicketState::Void => "no, void",
    };
    let late = if explained.late { ", after its week had been posted" } else { "" };
    let mut known = vec![
        ("Stands", stands.to_owned()),
        ("Scaled", format!("{} by {}", wire::words::day(explained.scaled_on), explained.scaler)),
        (
            "Accepted",
            format!("{} from {}{late}", crate::page::moment(explained.accepted_at), explained.accepted_by),
        ),
        ("Week ending", wire::words::day(explained.week_ends_on)),
    ];
    known.extend(explained.correction_reason.clone().map(|reason| ("Corrects because", reason)));
    html! {
        (facts(&known))
        @if let Some(other) = &explained.corrects { p { "It takes the place of " (link(other)) "." } }
        @for step in &explained.corrections {
            p.notice {
                (link(&step.ticket)) @if step.void { ", which holds nothing," } " took its place: " (step.reason)
                " (" (step.accepted_by) ", " (crate::page::moment(step.accepted_at)) ")"
            }
        }
        p { a href={ "/desk/papers/tickets/" (explained.ticket.ticket_id) ".html" } { "The ticket as a paper" } }
        @if explained.pieces.is_empty() { p { "It holds no sticks." } }
        @for one in &explained.pieces { (piece(one, &explained.ticket, person.role() != Role::Mill)) }
        p.help { (explained.caution) }
        (proof(person, &explained.ticket))
    }
}

/// Where somebody gets what proves that the ticket is sealed as it stands here.
fn proof(person: &Person, ticket: &TicketReference) -> Markup {
    html! {
        @if person.role() != Role::Mill {
            p.help { "To prove later that the ticket was in the books as it is here, take its proof from a seal: "
                a href={ "/desk/audit/seals?ticket=" (ticket.ticket_id) } { "choose a seal" } "." }
        }
    }
}

/// `lines` tells whether somebody may follow lines of settlements; a mill may not, and is told of them in words.
fn piece(one: &PieceExplanation, ticket: &TicketReference, lines: bool) -> Markup {
    html! {
        section.stick {
            h2 id={ "stick-" (one.piece) } {
                a href={ "/desk/audit/tickets/" (ticket.ticket_id) "/pieces/" (one.piece) } { (one.piece) ". " (client::text::stick(&one.facts)) }
            }
            @if one.tasks.is_empty() { p { "Nobody did anything to it that pay is for." } }
            @for one in &one.tasks { (task(one, lines)) }
        }
    }
}

fn task(one: &TaskExplanation, lines: bool) -> Markup {
    let part = one.part.map(|part| format!(", {part} of it")).unwrap_or_default();
    let name = papers::words::capital(&one.task.name().replace('_', " "));
    html! {
        h3 { (name) ", " (one.party_name) (part) }
        (sentences(&one.says))
        @for under in &one.under { (terms(under, lines)) }
    }
}

fn terms(under: &TermsExplanation, lines: bool) -> Markup {
    html! {
        p {
            a href={ "/desk/contracts/" (under.contract_id) } { (under.contract_title) }
            ", terms from " (under.effective_from) @if !under.stands { " (counts no more)" }
            @if let (Some(gross), Some(net), Some(unit)) = (under.gross, under.net, under.volume_unit) {
                ": gross " strong { (gross) } ", net " strong { (net) } " " (unit.words())
            }
            @if let Some(why) = &under.cull { "; cull: " (why) }
            @if let Some(why) = &under.cannot { "; cannot be scaled: " (why) }
        }
        @if !under.working.is_empty() {
            details { summary { "How the volume comes about, with every rounding" } ol { @for step in &under.working { li { (sentence(step)) } } } }
        }
        @for one in &under.rates { (rate(one, lines)) }
    }
}

fn rate(one: &RateExplanation, lines: bool) -> Markup {
    let basis = one.basis.map_or(String::new(), |basis| format!(", {}", basis.name()));
    html! {
        p { strong { (one.rate_name) } ": " (one.price) " by the " (one.unit.name().replace('_', " ")) (basis)
            "; this stick counts " (one.quantity) ", which is " (one.exact_amount) " before the week's rounding." }
        (sentences(&one.steps))
        (sentences(&one.says))
        @if !one.history.is_empty() {
            ul {
                @for step in &one.history {
                    li {
                        @let line = format!("Line {} of the week ending {}", step.line_number, step.settled_week);
                        @if lines {
                            a href={ "/desk/audit/settlements/" (step.settlement_id) "/lines/" (step.line_number) } { (line) }
                        } @else { (line) }
                        ": " (step.line_amount)
                    }
                }
            }
        }
    }
}
