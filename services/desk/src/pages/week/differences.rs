//! What changed since the preview before, in figures.

use client::comparing::{Difference, Differences, Totals};
use kernel::Money;
use maud::{Markup, html};
use wire::{PayView, words};

use super::{pay, volumes};

/// The differences between two drafts.
#[must_use]
pub fn told(found: &Differences) -> Markup {
    html! {
        h2 id="differences" { "Since the preview before" }
        @if found.is_none() { p { "Nothing changed: it comes to the same." } }
        @if let Some(Difference::Changed { before, after }) = &found.totals { (figures("In all", &sums(before, after))) }
        @if !found.payees.is_empty() {
            @let rows: Vec<_> = found.payees.iter().map(|one| (one.payee.name.clone(), one.before.total, one.after.total)).collect();
            (figures("By payee", &rows))
        }
        @if !found.lines.is_empty() {
            ul { @for one in &found.lines {
                @if let Some(line) = one.change.after().or(one.change.before()) {
                    li {
                        (line.contract_title) ", " (line.party_name) ", " (line.task) ": " (line.rate_name) ", "
                        @if let Some(before) = one.change.before() { (before.quantity) " for " (before.amount) " before" } @else { "not there before" }
                        ", "
                        @if let Some(after) = one.change.after() { (after.quantity) " for " (after.amount) " now" } @else { "gone now" }
                        @if one.tickets.is_empty() { "; by no ticket: terms, shares, hours or a check scale" }
                        @else { "; by tickets " (words::ticket_names(&one.tickets)) }
                        "."
                    }
                }
            } }
        }
        // The service shows every draft with what is open at the moment, so that there is no before to compare it with.
        p.help { "What has no price stands above as it is at this moment, not as it was at the preview before." }
        (volumes::changes(&found.volumes))
        @if !found.pays.is_empty() { h3 { "How pay is made up" } }
        @for one in &found.pays { (made_up(one)) }
    }
}

/// A worker's pay before and now, with what is added and kept back in each.
fn made_up(one: &Difference<PayView>) -> Markup {
    html! {
        @for (says, pay) in [("before", one.before()), ("now", one.after())] {
            @if let Some(pay) = pay {
                p { strong { (pay.payee.name) ", " (says) } ": earned " (pay.earned) ", added " (pay.added) ", kept back " (pay.kept_back)
                    ", comes to " (pay.total) "." }
                (pay::beside_the_lines(pay))
            }
        }
    }
}

fn sums(before: &Totals, after: &Totals) -> Vec<(String, Money, Money)> {
    vec![
        ("Paid to crews".to_owned(), before.paid_to_crews, after.paid_to_crews),
        ("Added to pay".to_owned(), before.added_to_pay, after.added_to_pay),
        ("Kept back of pay".to_owned(), before.kept_back, after.kept_back),
        ("Owed by mills".to_owned(), before.owed_by_mills, after.owed_by_mills),
    ]
}

fn figures(caption: &str, rows: &[(String, Money, Money)]) -> Markup {
    html! {
        div.wide tabindex="0" role="region" aria-label={ "Changes " (caption) } {
            table {
                caption { (caption) }
                thead { tr { th scope="col" { "What" } th.figure scope="col" { "Before" } th.figure scope="col" { "Now" } th.figure scope="col" { "Change" } } }
                tbody { @for (name, before, after) in rows {
                    tr {
                        th scope="row" { (name) } td.figure { (before) } td.figure { (after) }
                        td.figure { @if let Ok(change) = after.minus(*before) { (change) } }
                    }
                } }
            }
        }
    }
}
