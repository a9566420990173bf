//! The journal: every entry balances, and all of them together.

use client::{Client, JournalQuery, all_pages};
use jiff::civil::date;

use crate::report::Report;

/// Adds up every entry, and looks at the trial balance.
pub async fn balance(report: &mut Report, client: &Client) -> anyhow::Result<()> {
    let entries = all_pages(async |after| {
        client.list_journal(&JournalQuery { after, limit: Some(500), ..JournalQuery::default() }).await
    });
    let entries = entries.await?;
    for entry in &entries {
        let sum = |side: fn(&wire::JournalPostingView) -> Option<kernel::Money>| -> i64 {
            entry.postings.iter().filter_map(side).map(kernel::Money::minor).sum()
        };
        let (debits, credits) = (sum(|posting| posting.debit), sum(|posting| posting.credit));
        report.require(debits == credits, || format!("entry {} is out of balance", entry.journal_entry_id));
    }
    let trial = client.show_trial_balance(Some(date(2030, 1, 1))).await?;
    report.require(trial.difference.is_zero(), || {
        format!("the trial balance is out by {}", trial.difference.amount_text())
    });
    report.row("journal entries that balance", entries.len());
    Ok(())
}
