//! What terms would have paid, beside what was paid.

use crate::table::{Cell, Table};
use maud::{Markup, html};
use wire::TermsPreview;

/// The figures of a preview.
#[must_use]
pub fn shown(preview: &TermsPreview) -> Markup {
    let heads = [
        "Rate",
        "Task",
        "Pieces now",
        "Quantity now",
        "Amount now",
        "Pieces then",
        "Quantity then",
        "Amount then",
    ];
    let caption = format!("{} to {}, now and under the new terms", preview.from, preview.to);
    let mut table = Table::new("table-preview", caption, &heads);
    for one in &preview.rates {
        table.rows.push(vec![
            Cell::Head(one.rate_name.clone()),
            Cell::Words(one.task.name().to_owned()),
            Cell::figure(one.now.pieces),
            Cell::figure(one.now.quantity),
            Cell::figure(one.now.amount),
            Cell::figure(one.proposed.pieces),
            Cell::figure(one.proposed.quantity),
            Cell::figure(one.proposed.amount),
        ]);
    }
    html! {
        ul.totals {
            li { span { "Now" } strong #preview-now { (preview.now) } }
            li { span { "Under the new terms" } strong #preview-then { (preview.proposed) } }
            li { span { "Difference" } strong #preview-difference { (preview.difference) } }
        }
        p { "From " (preview.tickets) " tickets, whole weeks, " (preview.from) " to " (preview.to) "." }
        @if !table.rows.is_empty() { (table.shown()) }
        @if !preview.unpriced.is_empty() || !preview.unpriced_time.is_empty() {
            p.notice { "They would leave without a price: " (preview.unpriced.len()) " tasks on tickets, "
                (preview.unpriced_time.len()) " entries of time." }
        }
        @if !preview.gaps.is_empty() {
            div.notice { p { "Holes between bands:" } ul { @for gap in &preview.gaps { li { (gap) } } } }
        }
    }
}
