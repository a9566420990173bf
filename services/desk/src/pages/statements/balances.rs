//! What every account stands at, for whoever keeps the books.

use maud::{Markup, html};
use wire::Balances;

/// The accounts of everybody, and what they add up to.
#[must_use]
pub fn all(balances: &Balances) -> Markup {
    let sums = [
        ("Owed to workers", balances.owed_to_workers),
        ("Held back of pay", balances.held_back),
        ("Advances still out", balances.advances),
        ("Owed by mills", balances.owed_by_mills),
    ];
    html! {
        h2 id="balances" { "Balances on " (balances.on) }
        @if balances.items.is_empty() { p { "Nothing was posted to anybody's account yet." } } @else {
            ul.totals { @for (name, sum) in sums { li { span { (name) } strong { (sum) } } } }
            div.wide tabindex="0" role="region" aria-label="Balances" {
                table #table-balances {
                    caption { "Owed to each worker, and by each mill" }
                    thead { tr {
                        th scope="col" { "Payee" } th.figure scope="col" { "Balance" }
                        th.figure scope="col" { "Held back" } th.figure scope="col" { "Advances" }
                    } }
                    tbody { @for one in &balances.items { tr {
                        th scope="row" { (one.payee.name) @if one.payee.mill_id.is_some() { " (mill)" } }
                        td.figure { (one.balance) }
                        td.figure { @if let Some(held) = one.held_back { (held) } }
                        td.figure { @if let Some(advances) = one.advances { (advances) } }
                    } } }
                }
            }
        }
    }
}
