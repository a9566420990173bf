//! The report's section on volume against pay: the wood by product and species, contracts, and payees.

use kernel::Money;
use wire::{AuditReport, Party, percent};

use super::{paragraph, words};
use crate::paper::{Block, Fact, Section};
use crate::table::{Cell, Table};

/// The section.
#[must_use]
pub fn section(report: &AuditReport) -> Section {
    let audit = &report.volume_against_pay;
    let sums: Vec<(&str, Money)> = audit
        .earned_by_crews
        .map(|earned| ("Earned by crews", earned))
        .into_iter()
        .chain([("Owed by mills", audit.owed_by_mills)])
        .collect();
    let facts = sums.into_iter().map(|(name, amount)| Fact::new(name, amount.to_string()));
    let mut blocks = vec![Block::Facts(facts.collect())];
    if let Some(open) = audit.unpriced.filter(|open| *open > 0) {
        let tasks = format!("Without a price yet: {} on tickets of these weeks.", words::count(open, "task"));
        let says = "Their wood is at its stages; there is no pay for it so far.";
        blocks.push(Block::Warning(tasks, says.to_owned()));
    }
    blocks.push(Block::Table(contracts(report)));
    if !audit.payees.is_empty() {
        let says = "Earned and posted are shares of the contracts' lines; what is added to pay and kept back of it is on the \
statements. Paid is what was handed over on the days of these weeks, whatever it was for. The balance is the account's at the \
end of the last day: owed to a worker, or by a mill.";
        blocks.extend([Block::Table(payees(report)), paragraph(says)]);
    }
    blocks.push(Block::Table(stages(report)));
    Section::new("pay", "Volume against pay", blocks)
}

fn contracts(report: &AuditReport) -> Table {
    let caption = format!("Contracts, {}", report.currency);
    let heads = ["Contract", "With", "Earned", "Posted", "Open"];
    let mut rows = Vec::new();
    for one in &report.volume_against_pay.contracts {
        let side = match one.party {
            Party::CrewId(_) => "we pay",
            Party::MillId(_) => "pays us",
        };
        rows.push(vec![
            Cell::Head(one.contract_title.clone()),
            Cell::Words(format!("{} ({side})", one.party_name)),
            Cell::figure(one.earned.amount_text()),
            Cell::figure(one.posted.amount_text()),
            Cell::figure(one.open.amount_text()),
        ]);
    }
    super::table("table-contracts", caption, &heads, rows)
}

fn payees(report: &AuditReport) -> Table {
    let caption = format!("Payees, {}", report.currency);
    let heads = ["Payee", "Earned", "Posted", "Open", "Paid", "Balance"];
    let mut rows = Vec::new();
    for one in &report.volume_against_pay.payees {
        let mut cells = vec![Cell::Head(one.payee.name.clone())];
        let amounts = [one.earned, one.posted, one.open, one.paid, one.balance];
        cells.extend(amounts.map(|amount| Cell::figure(amount.amount_text())));
        rows.push(cells);
    }
    super::table("table-payees", caption, &heads, rows)
}

fn stages(report: &AuditReport) -> Table {
    let heads =
        ["Stage", "Timber", "On the scale of", "Unit", "Pieces", "Culls", "Gross", "Net", "Defect,\u{a0}%"];
    let mut rows = Vec::new();
    for row in &report.volume_against_pay.stages {
        rows.push(vec![
            Cell::Head(words::stage(row.stage).to_owned()),
            Cell::Words(format!("{}, {}", row.product.words(), row.species)),
            Cell::Words(words::scale(row.scaled_by.as_ref())),
            Cell::Words(words::unit(row.scaled_by.as_ref()).to_owned()),
            Cell::figure(row.pieces),
            Cell::maybe(row.culls),
            Cell::maybe(row.gross),
            Cell::maybe(row.net),
            Cell::maybe(row.defect_share.map(percent)),
        ]);
    }
    super::table("table-stages", "The wood of all weeks at each stage", &heads, rows)
}
