//! Settlements and statements as lists, with the ids to go on with.

use wire::{SettlementState, SettlementView, StatementView};

use super::table::{Column, Table};

/// Settlements, each with its sums and its id.
///
/// ```
/// assert_eq!(client::text::settlements(&[]), "None.\n");
/// ```
#[must_use]
pub fn settlements(settlements: &[SettlementView]) -> String {
    let mut table = Table::new([
        Column::text("Week ending", 11),
        Column::text("State", 6),
        Column::number("To crews"),
        Column::number("Added"),
        Column::number("Kept back"),
        Column::number("By mills"),
    ]);
    for one in settlements {
        let state = match one.state {
            SettlementState::Draft => "draft",
            SettlementState::Posted => "posted",
        };
        let sums = [one.paid_to_crews, one.added_to_pay, one.kept_back, one.owed_by_mills];
        let head = [one.week_ends_on.to_string(), state.to_owned()];
        table.row(head.into_iter().chain(sums.map(|sum| sum.amount_text())));
        let (who, when) = match (&one.posted_by, one.posted_at) {
            (Some(by), Some(at)) => (by, at),
            _ => (&one.drafted_by, one.drafted_at),
        };
        table.note(format!("{}, {when} by {who}", one.settlement_id));
    }
    listed(&table)
}

/// Statements, each with its balances and its id.
///
/// ```
/// assert_eq!(client::text::statements(&[]), "None.\n");
/// ```
#[must_use]
pub fn statements(statements: &[StatementView]) -> String {
    let mut table = Table::new([
        Column::text("Week ending", 11),
        Column::text("Who", 24),
        Column::number("Forward"),
        Column::number("Earned"),
        Column::number("Kept back"),
        Column::number("Down"),
    ]);
    for one in statements {
        let amounts = [one.opening, one.earned, one.kept_back, one.closing];
        let head = [one.week_ends_on.to_string(), one.payee.name.clone()];
        table.row(head.into_iter().chain(amounts.map(|amount| amount.amount_text())));
        table.note(one.statement_id.to_string());
    }
    listed(&table)
}

fn listed(table: &Table) -> String {
    if table.is_empty() { "None.\n".to_owned() } else { table.to_string() }
}
