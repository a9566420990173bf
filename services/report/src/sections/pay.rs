//! The page's section on volume against pay: the wood by product and species, contracts, and payees.

use kernel::Money;
use maud::html;
use wire::{AuditReport, Party, percent};

use super::{Section, ShowMadeOf};
use crate::table::{Cell, Table};
use crate::words;

/// The section.
#[must_use]
pub fn section(report: &AuditReport, show: Option<ShowMadeOf<'_>>) -> Section {
    let audit = &report.volume_against_pay;
    let sums: Vec<(&str, Money)> = audit
        .earned_by_crews
        .map(|earned| ("Earned by crews", earned))
        .into_iter()
        .chain([("Owed by mills", audit.owed_by_mills)])
        .collect();
    let content = html! {
        dl { @for (name, amount) in sums { div { dt { (name) } dd { (amount) } } } }
        @if let Some(open) = audit.unpriced.filter(|open| *open > 0) {
            p { strong { "Without a price yet: " (words::count(open, "task")) " on tickets of these weeks." }
                " Their wood is at its stages; there is no pay for it so far." }
        }
        (contracts(report).shown())
        @if show.is_some() { (rates(report).shown_with(show)) }
        @if !audit.payees.is_empty() {
            (payees(report).shown_with(show))
            p { "Earned and posted are shares of the contracts' lines; what is added to pay and kept back of it is on the \
    statements. Paid is what was handed over on the days of these weeks, whatever it was for. The balance is the account's at the \
    end of the last day: owed to a worker, or by a mill." }
        }
        (stages(report).shown_with(show))
    };
    Section { id: "pay", title: "Volume against pay", content }
}

fn contracts(report: &AuditReport) -> Table {
    let caption = format!("Contracts, {}", report.currency);
    let heads = ["Contract", "With", "Earned", "Posted", "Open"];
    let mut table = Table::new("table-contracts", caption, &heads);
    for one in &report.volume_against_pay.contracts {
        let side = match one.party {
            Party::CrewId(_) => "we pay",
            Party::MillId(_) => "pays us",
        };
        table.rows.push(vec![
            Cell::Head(one.contract_title.clone()),
            Cell::Words(format!("{} ({side})", one.party_name)),
            Cell::figure(one.earned.amount_text()),
            Cell::figure(one.posted.amount_text()),
            Cell::figure(one.open.amount_text()),
        ]);
    }
    table
}

/// What each rate came to: one step below the contracts, for whoever can go further down from it.
fn rates(report: &AuditReport) -> Table {
    let caption = format!("Pay by rate, {}", report.currency);
    let heads =
        ["Rate", "Contract", "Task", "By the", "Price", "Quantity", "Pieces", "Earned", "Posted", "Open"];
    let mut table = Table::new("table-rates", caption, &heads);
    for contract in &report.volume_against_pay.contracts {
        for row in &contract.pay {
            let basis = row.basis.map_or(String::new(), |basis| format!(", {}", basis.name()));
            let mut cells = vec![
                Cell::Head(row.rate_name.clone()),
                Cell::Words(contract.contract_title.clone()),
                Cell::Words(row.task.name().replace('_', " ")),
                Cell::Words(format!("{}{basis}", row.unit.name().replace('_', " "))),
                Cell::figure(row.price),
                Cell::figure(row.quantity),
                Cell::figure(row.pieces),
            ];
            let amounts = [row.earned, row.posted, row.open];
            cells.extend(amounts.map(|amount| Cell::figure(amount.amount_text())));
            table.add(cells, &row.made_of);
        }
    }
    table
}

fn payees(report: &AuditReport) -> Table {
    let caption = format!("Payees, {}", report.currency);
    let heads = ["Payee", "Earned", "Posted", "Open", "Paid", "Balance"];
    let mut table = Table::new("table-payees", caption, &heads);
    for one in &report.volume_against_pay.payees {
        let mut cells = vec![Cell::Head(one.payee.name.clone())];
        let amounts = [one.earned, one.posted, one.open, one.paid, one.balance];
        cells.extend(amounts.map(|amount| Cell::figure(amount.amount_text())));
        table.add(cells, &one.made_of);
    }
    table
}

fn stages(report: &AuditReport) -> Table {
    let heads =
        ["Stage", "Timber", "On the scale of", "Unit", "Pieces", "Culls", "Gross", "Net", "Defect, %"];
    let mut table = Table::new("table-stages", "The wood of all weeks at each stage", &heads);
    for row in &report.volume_against_pay.stages {
        let cells = vec![
            Cell::Head(words::stage(row.stage).to_owned()),
            Cell::Words(format!("{}, {}", row.product.words(), row.species)),
            Cell::Words(words::scale(row.scaled_by.as_ref())),
            Cell::Words(words::unit(row.scaled_by.as_ref()).to_owned()),
            Cell::figure(row.pieces),
            Cell::maybe(row.culls),
            Cell::maybe(row.gross),
            Cell::maybe(row.net),
            Cell::maybe(row.defect_share.map(percent)),
        ];
        table.add(cells, &row.made_of);
    }
    table
}
