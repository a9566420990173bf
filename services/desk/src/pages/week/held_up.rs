//! What keeps a week from being posted, with what to do for each; and what to look at besides.

use std::collections::BTreeSet;

use client::readiness::Readiness;
use maud::{Markup, html};
use wire::{ContractView, SettlementView, UnpricedView, words};

use crate::form::key_field;
use crate::session::person::Person;

/// What blocks the week. Whoever keeps the books can set it aside in place; `typed` is what they had filled in.
#[must_use]
pub fn blocks(
    person: &Person,
    draft: &SettlementView,
    contracts: &[ContractView],
    once: &str,
    typed: &Typed,
) -> Markup {
    let week = draft.week_ends_on;
    html! {
        h2 id="blocks" { "What blocks the week" }
        @if draft.unpriced.is_empty() {
            p { "Nothing: every piece has a price, or was set aside." }
        } @else {
            p { strong { (words::count(draft.unpriced.len(), "task has", "tasks have")) " no price." }
                " Amend the contract so that a rate covers it, or set it aside with a reason; then preview again." }
            (to_amend(draft, contracts))
            @if person.keeps_books() {
                form id="set-aside" method="post" action={ "/desk/week/" (week) "/set-aside" } {
                    (key_field(person))
                    input type="hidden" name="once" value=(once);
                    fieldset {
                        legend { "Set aside" }
                        @for (nth, one) in draft.unpriced.iter().enumerate() {
                            label.choice { input id={ "aside-" (nth) } type="checkbox" name=(name(one)) value="on" checked[typed.ticked.contains(&name(one))]; span { (named(one)) } }
                        }
                    }
                    label for="reason" { "Reason" }
                    input id="reason" name="reason" value=(typed.reason) required;
                    button id="set-aside-now" type="submit" { "Set aside what is ticked" }
                }
            } @else { ul { @for one in &draft.unpriced { li { (named(one)) } } } }
        }
    }
}

/// What somebody had filled in when a form came back.
#[derive(Debug, Default)]
pub struct Typed {
    /// The reason.
    pub reason: String,
    /// The names of the boxes that were ticked.
    pub ticked: BTreeSet<String>,
}

/// The contracts of whoever has something without a price, or how to file one.
fn to_amend(draft: &SettlementView, contracts: &[ContractView]) -> Markup {
    let theirs = contracts.iter().filter(|one| draft.unpriced.iter().any(|open| open.party == one.party));
    let theirs: Vec<_> = theirs.collect();
    html! {
        @if theirs.is_empty() { p { "No contract is filed for them yet: see the " a href="/desk/contracts" { "contracts" } "." } }
        @else { p { "Their contracts: " @for (place, one) in theirs.iter().enumerate() {
            @if place > 0 { ", " } a href={ "/desk/contracts/" (one.contract_id) } { (one.title) }
        } "." } }
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
