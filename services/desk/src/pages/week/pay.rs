//! A worker's pay: what was added and kept back, and why.

use maud::{Markup, html};
use wire::{PayView, words};

/// Everybody's pay in a settlement.
#[must_use]
pub fn of_everybody(pays: &[PayView]) -> Markup {
    html! {
        @if !pays.is_empty() { h2 id="pays" { "Everybody's pay" } }
        @for one in pays {
            h3 { (one.payee.name) ": " (one.total) }
            p { "Earned " (one.earned) ", added " (one.added) ", kept back " (one.kept_back) "." }
            (beside_the_lines(one))
        }
    }
}

/// What was added to somebody's lines, and what was kept back of them.
#[must_use]
pub fn beside_the_lines(pay: &PayView) -> Markup {
    html! {
        @if !pay.supplements.is_empty() || !pay.take_offs.is_empty() {
            ul {
                @for one in &pay.supplements { li { (words::supplement(one.supplement)) ": " strong { (one.amount) } } }
                @for one in &pay.take_offs { li { (words::take_off(one)) ": " strong { (one.taken) } } }
            }
        }
        @if !pay.working.is_empty() {
            details { summary { "How it was worked out" } ol { @for step in &pay.working { li { (step) } } } }
        }
    }
}
