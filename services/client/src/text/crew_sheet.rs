//! A crew's sheet: its lines of a settlement, and how each was divided among its members.

use settlement::LineKind;
use wire::words::adjustment;
use wire::{AuditVolumeRow, CrewSheet, SettlementState};

use super::table::{Column, Table, indented};
use super::{amounts, facts, words};

/// A crew's sheet as a paper for the crew: the lines, below each what fell to whom, then everybody's total.
///
/// ```
/// let sheet = serde_json::from_str(r#"{
///     "settlement_id": "0197a000-0000-7000-8000-000000000002", "week_ends_on": "2031-06-07", "state": "draft",
///     "crew_id": "0197a000-0000-7000-8000-000000000003", "crew_name": "North crew", "outfit_name": "Pine outfit",
///     "lines": [], "volumes": [], "members": [], "total": {"amount": "0.00", "currency": "USD"},
///     "caution": "Not legal advice."
/// }"#)?;
/// let paper = client::text::crew_sheet(&sheet);
/// assert!(paper.starts_with("SHEET OF NORTH CREW, DRAFT\n"));
/// assert!(paper.contains("No lines"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn crew_sheet(sheet: &CrewSheet) -> String {
    let state = match sheet.state {
        SettlementState::Draft => "DRAFT",
        SettlementState::Posted => "POSTED FOR GOOD",
    };
    let mut paper = format!("SHEET OF {}, {state}\n\n", sheet.crew_name.to_uppercase());
    paper.push_str(&facts(&[
        ("Outfit", sheet.outfit_name.clone()),
        ("Week ending", words::day(sheet.week_ends_on)),
        ("Settlement", sheet.settlement_id.to_string()),
        ("Amounts in", sheet.total.currency().to_string()),
    ]));
    paper.push('\n');
    paper.push_str(&volumes(sheet));
    paper.push_str(&lines(sheet));
    let mut totals: Vec<_> =
        sheet.members.iter().map(|member| (member.payee.name.clone(), member.total)).collect();
    totals.push(("The crew in all".to_owned(), sheet.total));
    paper.push_str(&amounts(&totals));
    paper.push('\n');
    paper.push_str(&indented(
        "Each line is rounded once and divided to the cent, so that the parts add up to it.",
        2,
    ));
    paper.push_str(&indented(&sheet.caution, 2));
    paper
}

fn volumes(sheet: &CrewSheet) -> String {
    let rows: Vec<&AuditVolumeRow> = sheet.volumes.iter().flat_map(|contract| &contract.rows).collect();
    if rows.is_empty() {
        return String::new();
    }
    let mut table = Table::new([
        Column::text("Scaled this week", 30),
        Column::number("Pieces"),
        Column::number("Gross"),
        Column::number("Net"),
        Column::text("Unit", 12),
    ]);
    for row in rows {
        let volume = |figure: kernel::Fixed| row.unit.map(|_| figure.to_string()).unwrap_or_default();
        table.row([
            format!("{}, {}", words::product(row.product), row.species),
            row.pieces.to_string(),
            volume(row.gross),
            volume(row.net),
            row.unit.map(words::volume_unit).unwrap_or_default().to_owned(),
        ]);
    }
    format!("{table}\n")
}

fn lines(sheet: &CrewSheet) -> String {
    if sheet.lines.is_empty() {
        return "  No lines: the settlement pays the crew nothing.\n\n".to_owned();
    }
    let mut table = Table::new([
        Column::number("Line"),
        Column::text("Work", 24),
        Column::number("Quantity"),
        Column::text("Unit", 13),
        Column::number("Price"),
        Column::number("Amount"),
    ]);
    for line in &sheet.lines {
        table.row([
            line.number.to_string(),
            format!("{}: {}", line.task, line.rate_name),
            line.quantity.to_string(),
            words::unit(line.unit, line.basis),
            line.price.to_string(),
            line.amount.amount_text(),
        ]);
        if line.kind == LineKind::Adjustment {
            table.note(adjustment(line));
        }
        for part in &line.by_payee {
            table.note(format!("{}: {}", part.payee.name, part.amount));
        }
    }
    format!("{table}\n")
}
