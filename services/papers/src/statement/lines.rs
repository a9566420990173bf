//! The lines of a statement: the work, its quantity and price, and the payee's part.

use settlement::LineKind;
use wire::words::{adjusted, adjusting, count, unit};
use wire::{StatementLineView, StatementView};

use crate::paper::{Block, Section};
use crate::table::{Cell, Column, Table};
use crate::words::capital;

/// What the sum of the lines is called.
pub(super) const fn earned(mill: bool) -> &'static str {
    if mill { "Owed for this week" } else { "Earned" }
}

/// The section; it says so where there was no work.
pub(super) fn section(statement: &StatementView, mill: bool) -> Section {
    let heads = [
        Column::words("Line"),
        Column::words("Work"),
        Column::figures("Quantity"),
        Column::words("Unit"),
        Column::figures("Price"),
        Column::figures(if mill { "Amount" } else { "Your part" }),
    ];
    let currency = statement.closing.currency();
    let mut table = Table::new("table-lines", format!("Amounts in {currency}"), heads);
    table.empty = "There is no work in this settlement.".to_owned();
    for line in &statement.lines {
        table.row([
            Cell::head(line.line_number),
            Cell::words(format!("{}: {}", capital(line.task.name()), line.rate_name)),
            Cell::figure(line.quantity),
            Cell::words(unit(line.unit, line.basis)),
            Cell::figure(line.price),
            Cell::figure(line.amount.amount_text()),
        ]);
        table.remark(whole_line(line, mill));
        table.remark(adjusts(line));
    }
    if !statement.lines.is_empty() {
        let none = || Cell::words("");
        let sum = Cell::figure(statement.earned.amount_text());
        table.total([none(), Cell::head(earned(mill)), none(), none(), none(), sum]);
    }
    let title = if mill { "What it comes to" } else { "Work" };
    Section::new("lines", title, vec![Block::Table(table)])
}

/// Whose line it is, and what the whole of it comes to where the payee has a part.
fn whole_line(line: &StatementLineView, mill: bool) -> String {
    let mut says = line.contract_title.clone();
    if line.pieces != 0 {
        says.push_str(&format!("; {}", count(line.pieces, "piece", "pieces")));
    }
    let adjusted = adjusted(&line.withdrawn_adjustments, &line.entered_adjustments);
    if !adjusted.is_empty() {
        says.push_str(&format!("; {adjusted}"));
    }
    if !mill {
        says.push_str(&format!("; part of {} to {}", line.line_amount, line.party_name));
    }
    says.push('.');
    says
}

fn adjusts(line: &StatementLineView) -> String {
    if line.kind != LineKind::Adjustment {
        return String::new();
    }
    let does = adjusting(&line.withdrawn, &line.entered);
    let colon = if does.is_empty() { "" } else { ": " };
    format!("Adjusts the week ending {}{colon}{does}.", line.week_ends_on)
}
