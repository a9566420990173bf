//! A line of a settlement followed down to the sticks.

use settlement::LineKind;
use wire::words::adjustment;
use wire::{ExplainedPiece, ExplainedTicket, LineExplanation, SplitStep, StatementLineExplanation};

use super::table::{Column, Table, hanging, indented};
use super::{facts, measured, words};

/// The explanation of a line: the arithmetic of its amount, how the crew divided it, and every ticket with its sticks
/// and their working.
///
/// ```no_run
/// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
/// let settlement = "0197a000-0000-7000-8000-000000000001".parse()?;
/// let paper = client::text::explanation(&client.explain_line(settlement, 3).await?);
/// assert!(paper.starts_with("LINE 3\n"));
/// # Ok(()) }
/// ```
#[must_use]
pub fn explanation(explanation: &LineExplanation) -> String {
    let line = &explanation.line;
    let mut paper = format!("LINE {}\n\n", line.number);
    paper.push_str(&facts(&[
        ("Work", format!("{}: {} (rate {})", line.task, line.rate_name, line.rate_number)),
        ("Contract", format!("{}: {}", line.contract_title, line.party_name)),
        ("Week ending", words::day(line.week_ends_on)),
        ("Price", format!("{} ({})", line.price, words::unit(line.unit, line.basis))),
        ("Amount", line.amount.to_string()),
    ]));
    if line.kind == LineKind::Adjustment {
        paper.push('\n');
        paper.push_str(&indented(&adjustment(line), 2));
    }
    paper.push_str("\nHow the amount came about\n\n");
    paper.push_str(&indented(&explanation.says, 2));
    paper.push_str(&divided(&explanation.split));
    for ticket in &explanation.tickets {
        paper.push_str(&one_ticket(ticket, explanation));
    }
    for adjustment in &explanation.adjustments {
        let taken = if adjustment.withdrawn { ", taken back" } else { "" };
        let quantity = words::quantity(adjustment.quantity, line.unit);
        paper.push_str(&format!(
            "\nAdjustment after a check scale: {quantity}{taken}\n  {}\n",
            adjustment.adjustment.check_scale_id
        ));
        adjustment.says.iter().for_each(|says| paper.push_str(&hanging(says, 2)));
    }
    for entry in &explanation.time {
        let hours = entry.hours.map(|hours| hours.to_string()).unwrap_or_default();
        let state = if entry.corrected_by.is_some() { ", corrected since" } else { "" };
        paper.push_str(&format!(
            "\nTime on {}: {hours} hours{state}\n  {}\n",
            entry.worked_on, entry.time_entry_id
        ));
    }
    paper.push('\n');
    paper.push_str(&indented(words::CAUTION, 2));
    paper
}

/// One payee's line of a statement: his part, and the explanation of the line.
///
/// ```no_run
/// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
/// let statement = "0197a000-0000-7000-8000-000000000001".parse()?;
/// let paper = client::text::statement_line(&client.explain_statement_line(statement, 3).await?);
/// assert!(paper.contains("HOW LINE 3 CAME ABOUT"));
/// # Ok(()) }
/// ```
#[must_use]
pub fn statement_line(explained: &StatementLineExplanation) -> String {
    let line = &explained.explained.line;
    let mut paper = format!(
        "STATEMENT FOR {}, HOW LINE {} CAME ABOUT\n\n",
        explained.payee.name.to_uppercase(),
        line.number
    );
    paper.push_str(&facts(&[
        ("Statement", explained.statement_id.to_string()),
        ("Settled with", format!("the week ending {}", words::day(explained.week_ends_on))),
        ("Part", explained.amount.to_string()),
    ]));
    paper.push_str(&format!("\n{}\n", indented(&explained.says, 2)));
    paper.push_str(&explanation(&explained.explained));
    paper
}

fn divided(split: &[SplitStep]) -> String {
    let Some(first) = split.first() else { return String::new() };
    let currency = first.amount.currency();
    let mut table = Table::new([
        Column::text("Member", 30),
        Column::number("Parts"),
        Column::number("Exact part"),
        Column::text("Left-over unit", 14),
        Column::number("Gets"),
    ]);
    for step in split {
        table.row([
            step.payee.name.clone(),
            step.parts.to_string(),
            step.quota.to_string(),
            if step.by_remainder { "one of them".to_owned() } else { String::new() },
            step.amount.amount_text(),
        ]);
    }
    let says = format!(
        "Exact parts are in the smallest unit of {currency}, rounded down; the units left over go to the largest \
         remainders, and among equal ones by the order of the list."
    );
    format!("\nHow the crew divided it\n\n{table}{}", indented(&says, 2))
}

fn one_ticket(ticket: &ExplainedTicket, explanation: &LineExplanation) -> String {
    let name = format!("Ticket {} {}", ticket.ticket.book, ticket.ticket.number);
    let quantity = words::quantity(ticket.quantity, explanation.line.unit);
    let taken = if ticket.withdrawn { ", taken back" } else { "" };
    let mut text = format!("\n{name}, scaled {}: {quantity}{taken}\n", ticket.scaled_on);
    text.push_str(&format!("  {}\n", ticket.ticket.ticket_id));
    for says in &ticket.says {
        text.push_str(&indented(says, 2));
    }
    for piece in &ticket.pieces {
        text.push_str(&one_piece(piece));
    }
    text
}

fn one_piece(piece: &ExplainedPiece) -> String {
    let mut head = format!("{}. {}", piece.piece, measured::summary(&piece.facts));
    if let (Some(gross), Some(net), Some(unit)) = (piece.gross, piece.net, piece.unit) {
        head.push_str(&format!(": gross {gross}, net {net} {}", words::volume_unit(unit)));
    }
    if let Some(why) = &piece.cull {
        head.push_str(&format!("; cull: {why}"));
    }
    let mut text = format!("\n{}", hanging(&head, 2));
    for step in &piece.working {
        text.push_str(&indented(step, 6));
    }
    text
}
