//! What each payee earned in a span, and what became of it.

use wire::PayeeAudit;

use super::table::{Column, Table, indented};

/// The payees, workers before mills; empty where nobody is in question.
pub(super) fn payees(rows: &[PayeeAudit]) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let mut table = Table::new([
        Column::text("Payee", 24),
        Column::number("Earned"),
        Column::number("Posted"),
        Column::number("Open"),
        Column::number("Paid"),
        Column::number("Balance"),
    ]);
    for row in rows {
        let amounts = [row.earned, row.posted, row.open, row.paid, row.balance];
        table.row([row.payee.name.clone()].into_iter().chain(amounts.map(|amount| amount.amount_text())));
    }
    let says = "Paid is what was handed over on these days, whatever it was for; the balance is the account's at the end of \
the last day, owed to a worker or by a mill.";
    format!("\nPayees\n\n{table}\n{}", indented(says, 2))
}
