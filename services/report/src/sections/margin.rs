//! The page's section on the mill's side against the crews'.

use kernel::Money;
use maud::html;
use wire::{AuditReport, Margin, MarginRow};

use super::{Section, ShowMadeOf};
use crate::table::{Cell, Table};
use crate::words;

/// The section; none for a mill.
#[must_use]
pub fn section(report: &AuditReport, show: Option<ShowMadeOf<'_>>) -> Option<Section> {
    let margin = report.margin.as_ref()?;
    let content = html! {
        p { "The wood that was delivered, on the mill's own scale; what the mill owes for it, and what crews earn on the same \
    tickets." }
        (table(margin, report).shown_with(show))
        @for wood in &margin.not_delivered {
            p { "Not in it: " (wood.cost) " earned by crews on " (words::count(wood.tickets, "ticket")) " of "
                (wood.job_name) " that went to no mill." }
        }
        p { (margin.leaves_out) }
    };
    Some(Section { id: "margin", title: "Margin", content })
}

fn table(margin: &Margin, report: &AuditReport) -> Table {
    let heads =
        ["Job and mill", "Tickets", "Net scale", "Mill owes", "Crews earn", "Margin", "Margin for each"];
    let caption = format!("The mill's side and the crews', {}", report.currency);
    let mut table = Table::new("table-margin", caption, &heads);
    margin.rows.iter().for_each(|one| table.add(row(one), &one.made_of));
    let amount = |figure: Money| Cell::figure(figure.amount_text());
    let sums = [amount(margin.owed), amount(margin.cost), amount(margin.margin)];
    let mut all = vec![Cell::Head("In all".to_owned()), Cell::Figure(None), Cell::Figure(None)];
    all.extend(sums);
    all.push(Cell::Figure(None));
    table.rows.push(all);
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
