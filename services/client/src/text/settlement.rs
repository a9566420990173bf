//! A week's settlement: its lines, who gets what, and what holds it up.

use std::collections::BTreeMap;

use kernel::Money;
use settlement::LineKind;
use wire::words::adjustment;
use wire::{LineView, SettlementState, SettlementView};

use super::table::{Column, Table, indented};
use super::{adjusted, amounts, facts, pay, unpriced, volumes, words};

/// A settlement as a paper for the office.
///
/// ```
/// let draft = serde_json::from_str(r#"{
///     "settlement_id": "0197a000-0000-7000-8000-000000000002", "week_ends_on": "2031-06-07", "state": "draft",
///     "paid_to_crews": {"amount": "0.00", "currency": "USD"},
///     "added_to_pay": {"amount": "0.00", "currency": "USD"}, "kept_back": {"amount": "0.00", "currency": "USD"},
///     "owed_by_mills": {"amount": "0.00", "currency": "USD"},
///     "drafted_by": "Ida Berg", "drafted_at": "2031-06-08T12:00:00Z"
/// }"#)?;
/// assert!(client::text::settlement(&draft).starts_with("SETTLEMENT, DRAFT\n"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn settlement(settlement: &SettlementView) -> String {
    let mut paper = match settlement.state {
        SettlementState::Draft => "SETTLEMENT, DRAFT\n\n".to_owned(),
        SettlementState::Posted => "SETTLEMENT, POSTED FOR GOOD\n\n".to_owned(),
    };
    let mut known = vec![
        ("Week ending", words::day(settlement.week_ends_on)),
        ("Settlement", settlement.settlement_id.to_string()),
        ("Drafted", format!("{} by {}", settlement.drafted_at, settlement.drafted_by)),
    ];
    if let (Some(by), Some(at)) = (&settlement.posted_by, settlement.posted_at) {
        known.push(("Posted", format!("{at} by {by}")));
    }
    known.push(("Amounts in", settlement.paid_to_crews.currency().to_string()));
    paper.push_str(&facts(&known));
    paper.push('\n');
    paper.push_str(&lines(&settlement.lines));
    paper.push_str(&amounts(&[
        ("Paid to crews".to_owned(), settlement.paid_to_crews),
        ("Added to pay".to_owned(), settlement.added_to_pay),
        ("Kept back of pay".to_owned(), settlement.kept_back),
        ("Owed by mills".to_owned(), settlement.owed_by_mills),
    ]));
    paper.push_str(&pay::of_everybody(&settlement.pays));
    paper.push_str(&payees(&settlement.lines));
    if !settlement.unpriced.is_empty() {
        let open = words::count(settlement.unpriced.len(), "task has", "tasks have");
        paper
            .push_str(&format!("\nNOT READY TO POST: {open} no price\n\n{}", unpriced(&settlement.unpriced)));
        paper.push_str(&indented(
            "File terms that cover them, or set them aside with a reason; then draft the week again.",
            2,
        ));
    }
    paper.push('\n');
    paper.push_str(&volumes::of_contracts(&settlement.volumes));
    paper.push_str(&indented(words::CAUTION, 2));
    paper
}

fn lines(lines: &[LineView]) -> String {
    if lines.is_empty() {
        return "  No lines.\n\n".to_owned();
    }
    let mut table = Table::new([
        Column::number("Line"),
        Column::text("Work", 24),
        Column::number("Quantity"),
        Column::text("Unit", 13),
        Column::number("Price"),
        Column::number("Amount"),
    ]);
    for line in lines {
        table.row([
            line.number.to_string(),
            format!("{}: {}", line.task, line.rate_name),
            line.quantity.to_string(),
            words::unit(line.unit, line.basis),
            line.price.to_string(),
            line.amount.amount_text(),
        ]);
        table.note(whose(line));
        if line.kind == LineKind::Adjustment {
            table.note(adjustment(line));
        }
    }
    format!("{table}\n")
}

/// Whose line it is, and how many pieces it is for.
fn whose(line: &LineView) -> String {
    let mut says = format!("{}: {}", line.contract_title, line.party_name);
    if line.pieces != 0 {
        says.push_str(&format!("; {}", words::count(line.pieces, "piece", "pieces")));
    }
    let adjusted = adjusted(&line.withdrawn_adjustments, &line.entered_adjustments);
    if !adjusted.is_empty() {
        says.push_str(&format!("; {adjusted}"));
    }
    says.push('.');
    says
}

/// What falls to each payee over all lines; left out where the sums cannot be held.
fn payees(lines: &[LineView]) -> String {
    let Some(sums) = sums(lines) else { return String::new() };
    if sums.is_empty() {
        return String::new();
    }
    let rows: Vec<_> = sums
        .into_iter()
        .map(|((is_mill, name, _), amount)| {
            (if is_mill { format!("{name} (mill) owes") } else { name }, amount)
        })
        .collect();
    format!("\nTo whom the lines fall\n\n{}", amounts(&rows))
}

/// The sums by payee: workers before mills, then by name; the id keeps people of one name apart.
fn sums(lines: &[LineView]) -> Option<BTreeMap<(bool, String, String), Money>> {
    let mut sums = BTreeMap::new();
    for one in lines.iter().flat_map(|line| &line.by_payee) {
        let payee = &one.payee;
        let worker = payee.worker_id.map(|id| id.to_string());
        let id = worker.or(payee.mill_id.map(|id| id.to_string())).unwrap_or_default();
        let sum = sums
            .entry((payee.mill_id.is_some(), payee.name.clone(), id))
            .or_insert(Money::zero(one.amount.currency()));
        *sum = sum.plus(one.amount).ok()?;
    }
    Some(sums)
}
