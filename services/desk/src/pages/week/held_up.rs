//! What keeps a week from being posted, with what to do for each; and what to look at besides.

use client::readiness::Readiness;
use maud::{Markup, html};
use wire::{SettlementView, UnpricedView, words};

use crate::form::key_field;
use crate::session::person::Person;

/// What blocks the week. Whoever keeps the books can set it aside in place; `reason` is what they had typed.
#[must_use]
pub fn blocks(person: &Person, draft: &SettlementView, once: &str, reason: &str) -> Markup {
    let week = draft.week_ends_on;
    html! {
        h2 id="blocks" { "What blocks the week" }
        @if draft.unpriced.is_empty() {
            p { "Nothing: every piece has a price, or was set aside." }
        } @else {
            p { strong { (words::count(draft.unpriced.len(), "task has", "tasks have")) " no price." }
                " Amend the " a href="/desk/contracts" { "contract" } " so that a rate covers it, or set it aside with a reason; then preview again." }
            @if person.keeps_books() {
                form id="set-aside" method="post" action={ "/desk/week/" (week) "/set-aside" } {
                    (key_field(person))
                    input type="hidden" name="once" value=(once);
                    fieldset {
                        legend { "Set aside" }
                        @for (nth, one) in draft.unpriced.iter().enumerate() {
                            label.choice { input id={ "aside-" (nth) } type="checkbox" name=(name(one)) value="on"; span { (named(one)) } }
                        }
                    }
                    label for="reason" { "Reason" }
                    input id="reason" name="reason" value=(reason) required;
                    button id="set-aside-now" type="submit" { "Set aside what is ticked" }
                }
            } @else { ul { @for one in &draft.unpriced { li { (named(one)) } } } }
        }
    }
}

/// The name of the field of what can be set aside: ticket, task, and piece or nothing.
fn name(one: &UnpricedView) -> String {
    let piece = one.piece.map(|piece| piece.to_string()).unwrap_or_default();
    format!("aside.{}.{}.{piece}", one.ticket_id, one.task.name())
}

fn named(one: &UnpricedView) -> Markup {
    html! {
        a href={ "/desk/audit/tickets/" (one.ticket_id) } { "Ticket " (one.book) " " (one.number) }
        ", " (one.task) ", " @if let Some(piece) = one.piece { "piece " (piece) } @else { "the turn" } ": " (one.says)
    }
}

/// What to look at, though it blocks nothing.
#[must_use]
pub fn beside(ready: &Readiness) -> Markup {
    html! {
        h2 id="look" { "To look at; it blocks nothing" }
        ul {
            @for book in &ready.gaps { @for gap in &book.gaps {
                li { "Book " (book.book) ": " @if gap.from == gap.to { "number " (gap.from) " is missing" } @else { "numbers " (gap.from) " to " (gap.to) " are missing" } }
            } }
            @for one in &ready.late {
                li { a href={ "/desk/audit/tickets/" (one.ticket.ticket_id) } { "Ticket " (one.ticket.book) " " (one.ticket.number) } ", scaled " (one.scaled_on) ", came after its week was posted" }
            }
            @for kind in ready.exceptions.kinds.iter().filter(|kind| kind.count > 0) {
                li { a href={ "/desk/audit/exceptions/" (kind.kind.name()) "?from=" (ready.exceptions.from) "&to=" (ready.exceptions.to) } { (words::count(kind.count, "exception", "exceptions")) } ": " (kind.means) }
            }
        }
        @if ready.gaps.is_empty() && ready.late.is_empty() && ready.exceptions.count == 0 { p { "Nothing." } }
    }
}
