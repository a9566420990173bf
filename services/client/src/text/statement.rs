//! A statement: what one payee has coming from one settlement.

use settlement::LineKind;
use wire::{StatementLineView, StatementView};

use super::table::{Column, Table, indented};
use super::{adjusting, amounts, facts, words};

/// A statement as a paper for the payee: every line with its quantity, unit, price and the payee's part, then opening
/// plus earned is closing, then the caution.
///
/// ```
/// let statement = serde_json::from_str(r#"{
///     "statement_id": "0197a000-0000-7000-8000-000000000001",
///     "settlement_id": "0197a000-0000-7000-8000-000000000002", "week_ends_on": "2031-06-07",
///     "payee": {"worker_id": "0197a000-0000-7000-8000-000000000003", "name": "Otto Lind"},
///     "opening": {"amount": "0.00", "currency": "USD"}, "earned": {"amount": "9.60", "currency": "USD"},
///     "closing": {"amount": "9.60", "currency": "USD"}, "caution": "Not legal advice."
/// }"#)?;
/// let paper = client::text::statement(&statement);
/// assert!(paper.starts_with("STATEMENT FOR OTTO LIND\n"));
/// assert!(paper.contains("Carried down     9.60 USD"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn statement(statement: &StatementView) -> String {
    let mill = statement.payee.mill_id.is_some();
    let mut paper = format!("STATEMENT FOR {}\n\n", statement.payee.name.to_uppercase());
    paper.push_str(&facts(&[
        ("Week ending", words::day(statement.week_ends_on)),
        ("Statement", statement.statement_id.to_string()),
        ("Settlement", statement.settlement_id.to_string()),
        ("Amounts in", statement.closing.currency().to_string()),
    ]));
    paper.push('\n');
    paper.push_str(&lines(&statement.lines, mill));
    let earned = if mill { "Owed for this week" } else { "Earned" };
    paper.push_str(&amounts(&[
        ("Brought forward".to_owned(), statement.opening),
        (earned.to_owned(), statement.earned),
        ("Carried down".to_owned(), statement.closing),
    ]));
    paper.push('\n');
    let says = if mill {
        "What is carried down is what the mill owes; below zero, what it has paid or been charged too much."
    } else {
        "What is carried down is what the payee has coming; below zero, what was paid too much."
    };
    paper.push_str(&indented(says, 2));
    paper.push_str(&indented(&statement.caution, 2));
    paper
}

fn lines(lines: &[StatementLineView], mill: bool) -> String {
    if lines.is_empty() {
        return "  No work in this settlement.\n\n".to_owned();
    }
    let part = if mill { "Amount" } else { "Part" };
    let mut table = Table::new([
        Column::number("Line"),
        Column::text("Work", 24),
        Column::number("Quantity"),
        Column::text("Unit", 13),
        Column::number("Price"),
        Column::number(part),
    ]);
    for line in lines {
        table.row([
            line.line_number.to_string(),
            format!("{}: {}", line.task, line.rate_name),
            line.quantity.to_string(),
            words::unit(line.unit, line.basis),
            line.price.to_string(),
            line.amount.amount_text(),
        ]);
        table.note(whole_line(line, mill));
        if line.kind == LineKind::Adjustment {
            let does = adjusting(&line.withdrawn, &line.entered);
            let colon = if does.is_empty() { "" } else { ": " };
            table.note(format!("Adjusts the week ending {}{colon}{does}.", line.week_ends_on));
        }
    }
    format!("{table}\n")
}

/// Whose line it is, and what the whole of it comes to where the payee has a part.
fn whole_line(line: &StatementLineView, mill: bool) -> String {
    let mut says = line.contract_title.clone();
    if line.pieces != 0 {
        says.push_str(&format!("; {}", words::count(line.pieces, "piece", "pieces")));
    }
    if !mill {
        says.push_str(&format!("; part of {} to {}", line.line_amount, line.party_name));
    }
    says.push('.');
    says
}
