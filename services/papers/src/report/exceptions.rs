//! The report's section on exceptions: how many of each kind, what the kind means, what to do about one.

use wire::{AuditReport, ExceptionSummary};

use super::paragraph;
use crate::paper::{Block, Section};
use crate::table::{Cell, Table};
use crate::words::capital;

/// The section; none for a mill.
#[must_use]
pub fn section(report: &AuditReport) -> Option<Section> {
    let found = report.exceptions.as_ref()?;
    let mut blocks = vec![paragraph(
        "An exception is a question, not a verdict: somebody looks, and hears who was there.",
    )];
    match found.count {
        0 => blocks.push(paragraph("There are no exceptions on tickets of these weeks.")),
        _ => blocks.push(Block::Table(table(found))),
    }
    if !found.cannot_be_told.is_empty() {
        let says = found.cannot_be_told.iter().map(|says| format!("{}.", capital(says)));
        blocks.extend([paragraph("What could not be judged:"), Block::Points(says.collect())]);
    }
    Some(Section::new("exceptions", "Exceptions", blocks))
}

/// The kinds that there are any of.
fn table(found: &ExceptionSummary) -> Table {
    let heads = ["Kind", "Count", "What it means", "What to do"];
    let mut rows = Vec::new();
    for one in found.kinds.iter().filter(|one| one.count > 0) {
        rows.push(vec![
            Cell::Head(capital(&one.kind.name().replace('_', " "))),
            Cell::figure(one.count),
            Cell::Words(one.means.clone()),
            Cell::Words(one.what_to_do.clone()),
        ]);
    }
    super::table("table-exceptions", "Exceptions by kind", &heads, rows)
}
