//! The lines of a settlement, by contract and party.

use std::collections::BTreeMap;

use maud::{Markup, html};
use settlement::LineKind;
use wire::{LineView, SettlementView, words};

/// The four sums, large.
#[must_use]
pub fn totals(settlement: &SettlementView) -> Markup {
    let sums = [
        ("Paid to crews", settlement.paid_to_crews),
        ("Added to pay", settlement.added_to_pay),
        ("Kept back of pay", settlement.kept_back),
        ("Owed by mills", settlement.owed_by_mills),
    ];
    html! { ul.totals { @for (name, sum) in sums { li { span { (name) } strong { (sum) } } } } }
}

/// All lines, each with the way to how it came about.
#[must_use]
pub fn all(settlement: &SettlementView) -> Markup {
    let mut groups = BTreeMap::<(&str, &str), Vec<&LineView>>::new();
    for line in &settlement.lines {
        groups.entry((&line.contract_title, &line.party_name)).or_default().push(line);
    }
    html! {
        h2 id="lines" { "Lines" }
        @if groups.is_empty() { p { "No lines." } }
        @for ((contract, party), lines) in groups { (group(settlement, &format!("{contract}: {party}"), &lines)) }
    }
}

fn group(settlement: &SettlementView, title: &str, lines: &[&LineView]) -> Markup {
    let address = format!("/desk/audit/settlements/{}/lines", settlement.settlement_id);
    let crew = lines.iter().find_map(|line| line.crew_id);
    html! {
        div.wide tabindex="0" role="region" aria-label=(title) {
            table {
                caption { (title) }
                thead { tr {
                    th scope="col" { "Work" } th.figure scope="col" { "Quantity" } th scope="col" { "Unit" }
                    th.figure scope="col" { "Price" } th.figure scope="col" { "Amount" }
                } }
                tbody { @for line in lines {
                    tr {
                        th scope="row" {
                            a href={ (address) "/" (line.number) } { (line.task) ": " (line.rate_name) }
                            @if line.kind == LineKind::Adjustment { br; (words::adjustment(line)) }
                        }
                        td.figure { (line.quantity) } td { (words::unit(line.unit, line.basis)) }
                        td.figure { (line.price) } td.figure { (line.amount) }
                    }
                } }
            }
        }
        @if let Some(crew) = crew {
            p {
                a href={ "/desk/papers/settlements/" (settlement.settlement_id) "/crews/" (crew) ".pdf" } { "The crew's sheet (PDF): " (title) }
            }
        }
    }
}
