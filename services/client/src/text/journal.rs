//! What accounts stand at: the trial balance, and the balances of payees.

use kernel::Money;
use wire::{Balances, TrialBalance};

use super::table::{Column, Table, indented};
use super::{amounts, facts, words};

/// The trial balance as a paper for the office.
///
/// ```
/// let balance = serde_json::from_str(r#"{
///     "on": "2031-06-07", "accounts": [], "debits": {"amount": "0.00", "currency": "USD"},
///     "credits": {"amount": "0.00", "currency": "USD"}, "difference": {"amount": "0.00", "currency": "USD"}
/// }"#)?;
/// let paper = client::text::trial_balance(&balance);
/// assert!(paper.starts_with("TRIAL BALANCE\n"));
/// assert!(paper.contains("Difference  0.00 USD"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn trial_balance(balance: &TrialBalance) -> String {
    let mut paper = "TRIAL BALANCE\n\n".to_owned();
    paper.push_str(&facts(&[
        ("At the end of", words::day(balance.on)),
        ("Amounts in", balance.debits.currency().to_string()),
    ]));
    paper.push('\n');
    if balance.accounts.is_empty() {
        paper.push_str("  Nothing was posted by then.\n");
    } else {
        let mut table =
            Table::new([Column::text("Account", 44), Column::number("Debit"), Column::number("Credit")]);
        for row in &balance.accounts {
            table.row([row.title.clone(), unless_zero(row.debit), unless_zero(row.credit)]);
        }
        paper.push_str(&table.to_string());
    }
    paper.push('\n');
    paper.push_str(&amounts(&[
        ("Debits".to_owned(), balance.debits),
        ("Credits".to_owned(), balance.credits),
        ("Difference".to_owned(), balance.difference),
    ]));
    paper
}

fn unless_zero(amount: Money) -> String {
    if amount.is_zero() { String::new() } else { amount.amount_text() }
}

/// What every payee's account stands at, as a paper for the office.
///
/// ```
/// let balances = serde_json::from_str(r#"{
///     "on": "2031-06-07", "items": [], "owed_to_workers": {"amount": "0.00", "currency": "USD"},
///     "held_back": {"amount": "0.00", "currency": "USD"}, "advances": {"amount": "0.00", "currency": "USD"},
///     "owed_by_mills": {"amount": "0.00", "currency": "USD"}
/// }"#)?;
/// let paper = client::text::balances(&balances);
/// assert!(paper.starts_with("BALANCES\n"));
/// assert!(paper.contains("Nothing was posted by then"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn balances(balances: &Balances) -> String {
    let mut paper = "BALANCES\n\n".to_owned();
    paper.push_str(&facts(&[
        ("At the end of", words::day(balances.on)),
        ("Amounts in", balances.owed_to_workers.currency().to_string()),
    ]));
    paper.push('\n');
    if balances.items.is_empty() {
        paper.push_str("  Nothing was posted by then.\n");
    } else {
        paper.push_str(&by_payee(balances));
    }
    paper.push('\n');
    paper.push_str(&amounts(&[
        ("Owed to workers".to_owned(), balances.owed_to_workers),
        ("Held back".to_owned(), balances.held_back),
        ("Advances to recover".to_owned(), balances.advances),
        ("Owed by mills".to_owned(), balances.owed_by_mills),
    ]));
    paper.push('\n');
    paper.push_str(&indented(
        "Below zero is what was paid too much. What is held back and what was advanced stand beside the balance and are \
         not in it.",
        2,
    ));
    paper.push_str(&indented(words::CAUTION, 2));
    paper
}

fn by_payee(balances: &Balances) -> String {
    let mut table = Table::new([
        Column::text("Payee", 30),
        Column::number("Balance"),
        Column::number("Held back"),
        Column::number("Advances"),
    ]);
    for one in &balances.items {
        let name = &one.payee.name;
        let payee = if one.payee.mill_id.is_some() { format!("{name} (mill) owes") } else { name.clone() };
        let beside = |amount: Option<Money>| amount.map(Money::amount_text).unwrap_or_default();
        table.row([payee, one.balance.amount_text(), beside(one.held_back), beside(one.advances)]);
    }
    table.to_string()
}
