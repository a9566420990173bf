//! The report's section on the mill's side against the crews'.

use kernel::Money;
use wire::{AuditReport, Margin, MarginRow};

use super::{paragraph, words};
use crate::paper::{Block, Section};
use crate::table::{Cell, Table};

/// The section; none for a mill.
#[must_use]
pub fn section(report: &AuditReport) -> Option<Section> {
    let margin = report.margin.as_ref()?;
    let says = "The wood that was delivered, on the mill's own scale; what the mill owes for it, and what crews earn on the same \
tickets.";
    let mut blocks = vec![paragraph(says), Block::Table(table(margin, report))];
    for wood in &margin.not_delivered {
        let tickets = words::count(wood.tickets, "ticket");
        let (cost, job) = (wood.cost, &wood.job_name);
        blocks.push(paragraph(format!(
            "Not in it: {cost} earned by crews on {tickets} of {job} that went to no mill."
        )));
    }
    blocks.push(paragraph(&margin.leaves_out));
    Some(Section::new("margin", "Margin", blocks))
}

fn table(margin: &Margin, report: &AuditReport) -> Table {
    let heads =
        ["Job and mill", "Tickets", "Net scale", "Mill owes", "Crews earn", "Margin", "Margin for each"];
    let caption = format!("The mill's side and the crews', {}", report.currency);
    let rows = margin.rows.iter().map(row).collect();
    let mut table = super::table("table-margin", caption, &heads, rows);
    let amount = |figure: Money| Cell::figure(figure.amount_text());
    let sums = [amount(margin.owed), amount(margin.cost), amount(margin.margin)];
    let mut all = vec![Cell::Head("In all".to_owned()), Cell::Figure(None), Cell::Figure(None)];
    all.extend(sums);
    all.push(Cell::Figure(None));
    table.total(all);
    table
}

fn row(row: &MarginRow) -> Vec<Cell> {
    let net: Vec<String> = row
        .volumes
        .iter()
        .filter_map(|volume| volume.unit.map(|unit| format!("{} {}", volume.net, unit.words())))
        .collect();
    let each =
        row.per_unit.as_ref().map(|unit| format!("{} {}", unit.margin.amount_text(), words::per(unit)));
    vec![
        Cell::Head(format!("{} to {}", row.job_name, row.mill_name)),
        Cell::figure(row.tickets),
        Cell::maybe((!net.is_empty()).then(|| net.join(", "))),
        Cell::figure(row.owed.amount_text()),
        Cell::figure(row.cost.amount_text()),
        Cell::figure(row.margin.amount_text()),
        Cell::maybe(each),
    ]
}
