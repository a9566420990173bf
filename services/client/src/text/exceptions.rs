//! Exceptions, kind by kind.

use jiff::civil::Date;
use wire::{ExceptionKind, ExceptionView};

use super::table::{hanging, indented};
use super::{facts, words};

/// The exceptions of some days as a paper for the auditor, grouped by kind, each kind with what it means and what to do.
///
/// ```
/// use jiff::civil::date;
/// let paper = client::text::exceptions((date(2031, 6, 1), date(2031, 6, 7)), &[]);
/// assert!(paper.starts_with("EXCEPTIONS\n") && paper.contains("None."));
/// ```
#[must_use]
pub fn exceptions((from, to): (Date, Date), found: &[ExceptionView]) -> String {
    let mut paper = "EXCEPTIONS\n\n".to_owned();
    paper.push_str(&facts(&[
        ("From", words::day(from)),
        ("To", words::day(to)),
        ("Found", words::count(found.len(), "exception", "exceptions")),
    ]));
    if found.is_empty() {
        paper.push_str("\n  None.\n");
    }
    for kind in ExceptionKind::ALL {
        let of_kind: Vec<_> = found.iter().filter(|one| one.kind == *kind).collect();
        if of_kind.is_empty() {
            continue;
        }
        paper.push_str(&format!("\n{} ({})\n", kind.name(), of_kind.len()));
        paper.push_str(&indented(kind.means(), 2));
        for one in &of_kind {
            paper.push_str(&hanging(&format!("{}  {}", one.day, one.says), 4));
            if let Some(statistics) = &one.statistics {
                let says = format!(
                    "score {} among {} figures: {}",
                    statistics.score, statistics.figures, statistics.method
                );
                paper.push_str(&indented(&says, 8));
            }
        }
        paper.push_str(&indented(&format!("What to do: {}", kind.what_to_do()), 2));
    }
    paper.push('\n');
    paper.push_str(&indented(
        "An exception is a question, not a verdict: somebody looks, and hears who was there.",
        2,
    ));
    paper
}

/// How many exceptions there are by kind, in one line: `late_ticket 1, unpriced_piece 2`.
///
/// ```
/// let summary = serde_json::from_str(
///     r#"{"from": "2031-06-01", "to": "2031-06-07", "count": 1, "cannot_be_told": [], "kinds": [
///         {"kind": "late_ticket", "count": 1, "means": "", "found_by": "", "what_to_do": ""},
///         {"kind": "scale_book_gap", "count": 0, "means": "", "found_by": "", "what_to_do": ""}]}"#,
/// )?;
/// assert_eq!(client::text::exceptions_by_kind(&summary), "late_ticket 1\n");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn exceptions_by_kind(summary: &wire::ExceptionSummary) -> String {
    let found: Vec<_> = summary
        .kinds
        .iter()
        .filter(|one| one.count > 0)
        .map(|one| format!("{} {}", one.kind.name(), one.count))
        .collect();
    if found.is_empty() { "none\n".to_owned() } else { format!("{}\n", found.join(", ")) }
}
