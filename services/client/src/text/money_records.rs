//! Charges, advances, payments and holdback, as lists.

use kernel::Money;
use wire::{AdvanceView, ChargeView, HeldView, PaymentView, ReversedView};

use super::table::{Column, Table, indented};

fn columns() -> [Column; 5] {
    [
        Column::text("Day", 10),
        Column::text("Who", 20),
        Column::text("What", 26),
        Column::number("Amount"),
        Column::number("Open"),
    ]
}

/// The id to go on with, and whether the record was taken back.
fn note(id: impl ToString, reversed: Option<&ReversedView>) -> String {
    let back = reversed.map(|one| format!("; taken back by {}: {}", one.reversed_by, one.reason));
    format!("{}{}", id.to_string(), back.unwrap_or_default())
}

fn listed(table: &Table, nothing: &str) -> String {
    if table.is_empty() { format!("{nothing}\n") } else { table.to_string() }
}

/// What is outstanding of it; nothing of what was taken back.
fn open(outstanding: Money, reversed: Option<&ReversedView>) -> String {
    if reversed.is_some() { String::new() } else { outstanding.amount_text() }
}

/// Charges, each with what is left to take and its id.
///
/// ```
/// assert_eq!(client::text::charges(&[]), "No charges.\n");
/// ```
#[must_use]
pub fn charges(charges: &[ChargeView]) -> String {
    let mut table = Table::new(columns());
    for one in charges {
        table.row([
            one.dated.to_string(),
            one.payee.name.clone(),
            format!("{}: {}", one.kind.name(), one.says),
            one.amount.amount_text(),
            open(one.outstanding, one.reversed.as_ref()),
        ]);
        table.note(note(one.charge_id, one.reversed.as_ref()));
    }
    listed(&table, "No charges.")
}

/// Advances, each with what is left to recover and its id.
///
/// ```
/// assert_eq!(client::text::advances(&[]), "No advances.\n");
/// ```
#[must_use]
pub fn advances(advances: &[AdvanceView]) -> String {
    let mut table = Table::new(columns());
    for one in advances {
        table.row([
            one.dated.to_string(),
            one.payee.name.clone(),
            one.says.clone(),
            one.amount.amount_text(),
            open(one.outstanding, one.reversed.as_ref()),
        ]);
        table.note(note(one.advance_id, one.reversed.as_ref()));
    }
    listed(&table, "No advances.")
}

/// Payments, each with its id.
///
/// ```
/// assert_eq!(client::text::payments(&[]), "No payments.\n");
/// ```
#[must_use]
pub fn payments(payments: &[PaymentView]) -> String {
    let [day, who, what, amount, _] = columns();
    let mut table = Table::new([day, who, what, amount]);
    for one in payments {
        let direction = if one.payee.mill_id.is_some() { "from" } else { "to" };
        table.row([
            one.dated.to_string(),
            format!("{direction} {}", one.payee.name),
            one.says.clone(),
            one.amount.amount_text(),
        ]);
        table.note(note(one.payment_id, one.reversed.as_ref()));
    }
    listed(&table, "No payments.")
}

/// What is held, by worker and contract, and what was let go.
///
/// ```
/// assert_eq!(client::text::holdback(&[]), "Nothing is held.\n");
/// ```
#[must_use]
pub fn holdback(held: &[HeldView]) -> String {
    let mut table =
        Table::new([Column::text("Who", 24), Column::text("Contract", 36), Column::number("Held")]);
    for one in held {
        table.row([one.payee.name.clone(), one.contract_title.clone(), one.held.amount_text()]);
        for release in &one.releases {
            let says =
                format!("let go on {}: {}, {}", release.dated, release.amount.amount_text(), release.says);
            table.note(says);
            table.note(note(release.release_id, release.reversed.as_ref()));
        }
    }
    listed(&table, "Nothing is held.")
}

/// What a rehearsal says before its record, as an indented line.
///
/// ```
/// assert!(client::text::rehearsed().contains("Nothing was kept"));
/// ```
#[must_use]
pub fn rehearsed() -> String {
    indented("Only rehearsed: it would be accepted. Nothing was kept.", 0)
}
