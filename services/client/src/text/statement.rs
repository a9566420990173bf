//! A statement: what one payee has coming from one settlement.

use settlement::LineKind;
use wire::{MovementView, StatementLineView, StatementView, YearToDate};

use super::table::{Column, Table, indented};
use super::{adjusted, adjusting, amounts, facts, pay, volumes, words};

/// A statement as a paper for the payee: every line with its quantity, unit, price and the payee's part, what was added
/// and what was kept back, what came and went since the last statement, then how all of it foots, the year so far, what
/// was scaled, and the caution.
///
/// ```
/// let statement = serde_json::from_str(r#"{
///     "statement_id": "0197a000-0000-7000-8000-000000000001",
///     "settlement_id": "0197a000-0000-7000-8000-000000000002",
///     "week_begins_on": "2031-06-01", "week_ends_on": "2031-06-07", "outfit_name": "Upper fork outfit",
///     "payee": {"worker_id": "0197a000-0000-7000-8000-000000000003", "name": "Otto Lind"},
///     "opening": {"amount": "4.00", "currency": "USD"}, "moved": {"amount": "-4.00", "currency": "USD"},
///     "earned": {"amount": "9.60", "currency": "USD"}, "added": {"amount": "0.00", "currency": "USD"},
///     "kept_back": {"amount": "1.60", "currency": "USD"},
///     "closing": {"amount": "8.00", "currency": "USD"}, "caution": "Not legal advice."
/// }"#)?;
/// let paper = client::text::statement(&statement);
/// assert!(paper.starts_with("STATEMENT FOR OTTO LIND\n"));
/// assert!(paper.contains("Less kept back    1.60 USD\n  Carried down      8.00 USD"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn statement(statement: &StatementView) -> String {
    let mill = statement.payee.mill_id.is_some();
    let mut paper = format!("STATEMENT FOR {}\n\n", statement.payee.name.to_uppercase());
    let week = format!("{} to {}", words::day(statement.week_begins_on), words::day(statement.week_ends_on));
    paper.push_str(&facts(&[
        ("Week", week),
        (if mill { "Owed to" } else { "Paid by" }, statement.outfit_name.clone()),
        ("Statement", statement.statement_id.to_string()),
        ("Settlement", statement.settlement_id.to_string()),
        ("Amounts in", statement.closing.currency().to_string()),
    ]));
    paper.push('\n');
    paper.push_str(&lines(&statement.lines, mill));
    paper.push_str(&statement.pay.as_ref().map(pay::beside_the_lines).unwrap_or_default());
    paper.push_str(&movements(&statement.movements));
    paper.push_str(&footing(statement, mill));
    paper.push_str(&statement.year_to_date.as_ref().map(|year| so_far(year, mill)).unwrap_or_default());
    paper.push_str(&volumes::of_contracts(&statement.volumes));
    let says = if mill {
        "What is carried down is what the mill owes; below zero, what it has paid or been charged too much."
    } else {
        "What is carried down is what the payee has coming; below zero, what was paid too much."
    };
    paper.push_str(&indented(says, 2));
    paper.push_str(&indented(&statement.caution, 2));
    paper
}

/// Every figure of the statement in its order; they foot.
fn footing(statement: &StatementView, mill: bool) -> String {
    let mut figures = vec![
        ("Brought forward".to_owned(), statement.opening),
        ("Came and went".to_owned(), statement.moved),
        (earned(mill).to_owned(), statement.earned),
    ];
    if !mill {
        figures.push(("Added".to_owned(), statement.added));
        figures.push(("Less kept back".to_owned(), statement.kept_back));
    }
    figures.push(("Carried down".to_owned(), statement.closing));
    format!("{}\n", amounts(&figures))
}

const fn earned(mill: bool) -> &'static str {
    if mill { "Owed for this week" } else { "Earned" }
}

/// What came to the account and went from it since the last statement.
fn movements(movements: &[MovementView]) -> String {
    if movements.is_empty() {
        return String::new();
    }
    let mut table = Table::new([
        Column::text("Day", 10),
        Column::text("Came and went since the last statement", 50),
        Column::number("Amount"),
    ]);
    for one in movements {
        table.row([one.dated.to_string(), one.says.clone(), one.amount.amount_text()]);
    }
    format!("{table}\n")
}

/// The sums of the year's statements up to this one.
fn so_far(year: &YearToDate, mill: bool) -> String {
    let mut sums = vec![(if mill { "Owed" } else { "Earned" }.to_owned(), year.earned)];
    if !mill {
        sums.push(("Added".to_owned(), year.added));
        sums.push(("Kept back".to_owned(), year.kept_back));
    }
    sums.push(("Came and went".to_owned(), year.moved));
    format!("In the weeks ending in {}, this one among them\n\n{}\n", year.year, amounts(&sums))
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
