//! A posted week computed again.

use wire::{Compared, Rederivation};

use super::table::{hanging, indented};
use super::{facts, words};

/// What came of computing a posted week again: how much was compared, and every place that differs.
///
/// ```
/// let done = serde_json::from_str(r#"{
///     "settlement_id": "0197a000-0000-7000-8000-000000000001", "week_ends_on": "2031-06-07",
///     "posted_by": "Ida Berg", "posted_at": "2031-06-08T12:00:00Z", "agrees": true,
///     "compared": {"lines": 3, "tickets": 18, "pieces": 71, "derivations": 54, "rate_lines": 60, "time_entries": 0,
///                  "shares": 9, "pays": 4, "statements": 5, "postings": 7},
///     "took_milliseconds": 12, "difference_count": 0
/// }"#)?;
/// assert!(client::text::rederivation(&done).contains("All of it is as it was posted.\n"));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn rederivation(done: &Rederivation) -> String {
    let mut paper = "COMPUTED AGAIN\n\n".to_owned();
    let mut known = vec![
        ("Week ending", words::day(done.week_ends_on)),
        ("Settlement", done.settlement_id.to_string()),
        ("Posted", format!("{} by {}", done.posted_at, done.posted_by)),
    ];
    known.extend(done.contract_id.map(|contract| ("Contract", contract.to_string())));
    paper.push_str(&facts(&known));
    let says = format!("{}; it took {} ms.", counted(&done.compared), done.took_milliseconds);
    paper.push_str(&format!("\n{}\n", indented(&says, 2)));
    if done.agrees {
        paper.push_str("  All of it is as it was posted.\n");
    } else {
        let places = words::count(done.difference_count, "place is", "places are");
        paper.push_str(&format!("  {places} not as posted:\n\n"));
    }
    for one in &done.differences {
        paper.push_str(&hanging(&one.says, 2));
        paper.push_str(&format!("      {}\n", one.pointer));
    }
    let listed = u64::try_from(done.differences.len()).unwrap_or(u64::MAX);
    if done.difference_count > listed {
        paper.push_str(&format!("  The first {listed} are listed.\n"));
    }
    for left_out in &done.not_compared {
        paper.push_str(&format!("\n{}", indented(left_out, 2)));
    }
    paper
}

fn counted(compared: &Compared) -> String {
    let count = |count: u64, one: &str, more: &str| words::count(count, one, more);
    format!(
        "{} on {} and {} computed again: {} under contracts, {}; {} of pay, {} of time, {}, {} and {} in the journal \
         compared",
        count(compared.lines, "line", "lines"),
        count(compared.tickets, "ticket", "tickets"),
        count(compared.pieces, "stick", "sticks"),
        count(compared.derivations, "scaling", "scalings"),
        count(compared.rate_lines, "quantity under a rate", "quantities under rates"),
        count(compared.shares, "share", "shares"),
        count(compared.time_entries, "entry", "entries"),
        count(compared.pays, "worker's pay", "workers' pay"),
        count(compared.statements, "statement", "statements"),
        count(compared.postings, "posting", "postings"),
    )
}
