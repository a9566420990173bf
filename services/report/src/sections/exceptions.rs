//! The page's section on exceptions: how many of each kind, what the kind means, what to do about one.

use maud::html;
use wire::{AuditReport, ExceptionSummary};

use super::Section;
use crate::table::{Cell, Table};
use crate::words;

/// The section; none for a mill.
#[must_use]
pub fn section(report: &AuditReport) -> Option<Section> {
    let found = report.exceptions.as_ref()?;
    let content = html! {
        p { "An exception is a question, not a verdict: somebody looks, and hears who was there." }
        @if found.count == 0 {
            p { "There are no exceptions on tickets of these weeks." }
        } @else {
            (table(found).shown())
        }
        @if !found.cannot_be_told.is_empty() {
            p { "What could not be judged:" }
            ul { @for says in &found.cannot_be_told { li { (words::capital(says)) "." } } }
        }
    };
    Some(Section { id: "exceptions", title: "Exceptions", content })
}

/// The kinds that there are any of.
fn table(found: &ExceptionSummary) -> Table {
    let heads = ["Kind", "Count", "What it means", "What to do"];
    let mut table = Table::new("table-exceptions", "Exceptions by kind", &heads);
    for one in found.kinds.iter().filter(|one| one.count > 0) {
        table.rows.push(vec![
            Cell::Head(words::capital(&one.kind.name().replace('_', " "))),
            Cell::figure(one.count),
            Cell::Words(one.means.clone()),
            Cell::Words(one.what_to_do.clone()),
        ]);
    }
    table
}
