//! The sections in their order, each in a file of its own.

pub mod check_scales;
pub mod cost;
pub mod defect;
pub mod exceptions;
pub mod margin;
pub mod pay;
pub mod volume;

use maud::{Markup, html};
use wire::{AuditReport, MadeOf};

use crate::charts::drawing::Heading;

/// How what a row is made of is shown: nothing on paper, links where somebody can follow them.
pub type ShowMadeOf<'a> = &'a dyn Fn(&[MadeOf]) -> Markup;

/// A section.
#[derive(Debug)]
pub struct Section {
    /// Its place in the page's address.
    pub id: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// What stands below.
    pub content: Markup,
}

/// The sections; what the caller may not see has none. With `show` the tables have a last column that leads to what a row is
/// made of.
#[must_use]
pub fn sections(report: &AuditReport, show: Option<ShowMadeOf<'_>>) -> Vec<Section> {
    [
        Some(volume::section(report, show)),
        cost::section(report, show),
        Some(defect::section(report, show)),
        Some(check_scales::section(report)),
        margin::section(report, show),
        Some(pay::section(report, show)),
        exceptions::section(report),
        Some(notes(report)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// A chart below its caption, and after it what it was drawn from.
#[must_use]
pub fn figure(heading: &Heading, chart: &Markup, table: &Markup) -> Markup {
    html! {
        figure { figcaption { strong { (heading.title) "." } " " (heading.says) } (chart) }
        (table)
    }
}

fn notes(report: &AuditReport) -> Section {
    let notes = &report.notes;
    let ask = "Every figure can be followed down through the service: the report as JSON names with its rows the addresses \
of the tickets, lines, payments and statements that they are made of. About a measurement ask the scaler whose name stands \
on the ticket; about pay, whoever keeps the outfit's books.";
    let known = [
        ("Units", notes.units.as_str()),
        ("Rounding", notes.rounding.as_str()),
        ("On whose scale", notes.scales.as_str()),
        ("Where to look and whom to ask", ask),
        ("Caution", notes.caution.as_str()),
    ];
    let content = html! { @for (title, says) in known { h3 { (title) } p { (says) } } };
    Section { id: "notes", title: "How to read it", content }
}
