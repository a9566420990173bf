//! What was scaled: volumes by contract and party, as the service counted them.

use client::comparing::Difference;
use maud::{Markup, html};
use wire::{AuditVolumeRow, ContractVolumes};

/// The volumes of a settlement or a statement; nothing where there are none.
#[must_use]
pub fn all(volumes: &[ContractVolumes]) -> Markup {
    html! {
        @if !volumes.is_empty() { h2 id="volumes" { "What was scaled" } }
        @for one in volumes { (table(&named(one), &one.rows)) }
    }
}

/// Volumes that are others than in the preview before.
#[must_use]
pub fn changes(found: &[Difference<ContractVolumes>]) -> Markup {
    html! { @for one in found {
        @if let Some(before) = one.before() { (table(&format!("{}: scaled before", named(before)), &before.rows)) }
        @if let Some(after) = one.after() { (table(&format!("{}: scaled now", named(after)), &after.rows)) }
    } }
}

fn named(one: &ContractVolumes) -> String {
    format!("{}, {}", one.contract_title, one.party_name)
}

fn table(caption: &str, rows: &[AuditVolumeRow]) -> Markup {
    html! {
        div.wide tabindex="0" role="region" aria-label={ "Volumes: " (caption) } {
            table.volumes {
                caption { (caption) }
                thead { tr {
                    th scope="col" { "Timber" } th.figure scope="col" { "Pieces" } th.figure scope="col" { "Culls" }
                    th.figure scope="col" { "Gross" } th.figure scope="col" { "Net" } th scope="col" { "Unit" }
                } }
                tbody { @for row in rows { tr {
                    th scope="row" { (row.species) ", " (row.product.words()) }
                    td.figure { (row.pieces) } td.figure { (row.culls) }
                    td.figure { @if row.unit.is_some() { (row.gross) } } td.figure { @if row.unit.is_some() { (row.net) } }
                    td { @if let Some(unit) = row.unit { (unit.words()) } }
                } } }
            }
        }
    }
}
