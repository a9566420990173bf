//! What to look at before a week is posted.

use super::table::{hanging, indented};
use super::{exceptions_by_kind, unpriced, words};
use crate::readiness::{BookGaps, Readiness};

/// What holds up a week, and what else to look at, for the office.
///
/// ```
/// use client::readiness::Readiness;
/// let summary = serde_json::from_str(
///     r#"{"from": "2031-06-01", "to": "2031-06-07", "count": 0, "cannot_be_told": [], "kinds": []}"#,
/// )?;
/// let week_ends_on = jiff::civil::date(2031, 6, 7);
/// let clear = Readiness { week_ends_on, unpriced: vec![], gaps: vec![], late: vec![], exceptions: summary };
/// assert!(client::text::readiness(&clear).contains("Nothing keeps it from being posted."));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn readiness(ready: &Readiness) -> String {
    let mut paper = format!("BEFORE THE WEEK ENDING {} IS POSTED\n\n", ready.week_ends_on);
    if ready.can_be_posted() {
        paper.push_str("  Nothing keeps it from being posted.\n");
    } else {
        let open = words::count(ready.unpriced.len(), "task has", "tasks have");
        paper.push_str(&format!("  HELD UP: {open} no price\n\n{}", unpriced(&ready.unpriced)));
        let first =
            ready.unpriced.first().map(|one| format!("{} {}", one.book, one.number)).unwrap_or_default();
        let says = format!(
            "What to do: file terms that cover them (skid contract amend), or set them aside with a reason (skid \
             set-aside {first} …); then preview the week again."
        );
        paper.push_str(&indented(&says, 2));
    }
    let mut look = String::new();
    look.push_str(&ready.gaps.iter().map(gaps).collect::<String>());
    if !ready.late.is_empty() {
        let names: Vec<_> = ready
            .late
            .iter()
            .map(|one| format!("{} {} of {}", one.ticket.book, one.ticket.number, one.scaled_on))
            .collect();
        let came = words::count(names.len(), "ticket", "tickets");
        look.push_str(&hanging(
            &format!("Late, after their weeks were posted: {came}: {}", names.join(", ")),
            2,
        ));
    }
    if ready.exceptions.count > 0 {
        let kinds = exceptions_by_kind(&ready.exceptions);
        look.push_str(&hanging(&format!("Exceptions of the week: {}", kinds.trim_end()), 2));
        let (from, to) = (ready.exceptions.from, ready.exceptions.to);
        look.push_str(&format!("    skid audit exceptions --from {from} --to {to}\n"));
    }
    if !look.is_empty() {
        paper.push_str(&format!("\n  To look at; none of it holds up the week:\n\n{look}"));
    }
    paper
}

fn gaps(book: &BookGaps) -> String {
    let number = |gap: &wire::GapView| {
        if gap.from == gap.to { gap.from.to_string() } else { format!("{} to {}", gap.from, gap.to) }
    };
    let missing: Vec<_> = book.gaps.iter().map(number).collect();
    hanging(&format!("Missing from scale book {}: {}", book.book, missing.join(", ")), 2)
}
