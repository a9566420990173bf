//! The report as one page to read and to print: no script, no network, every chart followed by its figures as a table.
//!
//! [`page`] names the sections in their order; each has a file of its own. All text goes through the templates, which
//! escape it; the style alone is put in as it stands.

pub mod check_scales;
pub mod cost;
pub mod defect;
pub mod exceptions;
pub mod margin;
pub mod pay;
pub mod table;
pub mod volume;
pub mod words;

use maud::{DOCTYPE, Markup, PreEscaped, html};
use wire::AuditReport;

use super::charts::drawing::Heading;

/// What a browser may do with the page: apply the style that stands in it, and nothing else.
pub const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; \
form-action 'none'; frame-ancestors 'none'";

const STYLE: &str = include_str!("page/style.css");

/// A section of the page.
#[derive(Debug)]
pub struct Section {
    /// Its place in the page's address.
    pub id: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// What stands below.
    pub content: Markup,
}

/// The sections in their order; what the caller may not see has none.
fn sections(report: &AuditReport) -> Vec<Section> {
    [
        Some(volume::section(report)),
        cost::section(report),
        Some(defect::section(report)),
        Some(check_scales::section(report)),
        margin::section(report),
        Some(pay::section(report)),
        exceptions::section(report),
        Some(notes(report)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The page.
#[must_use]
pub fn page(report: &AuditReport) -> String {
    let sections = sections(report);
    let title = format!("Audit of {} to {}, {}", report.from, report.to, report.outfit_name);
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                header {
                    h1 { "Volume against pay" }
                    (facts(report))
                    nav aria-label="Sections" {
                        ul { @for one in &sections { li { a href={ "#" (one.id) } { (one.title) } } } }
                    }
                }
                main {
                    @for one in &sections {
                        section id=(one.id) aria-labelledby={ (one.id) "-heading" } {
                            h2 id={ (one.id) "-heading" } { (one.title) }
                            (one.content)
                        }
                    }
                }
            }
        }
    };
    page.into_string()
}

fn facts(report: &AuditReport) -> Markup {
    let span = format!("{} to {}, whole settlement weeks", words::day(report.from), words::day(report.to));
    let job = report.job_name.as_deref().unwrap_or("all jobs");
    let made = format!("{}, for {} ({})", report.made_on, report.made_for, report.role.name());
    let known =
        [("Outfit", report.outfit_name.as_str()), ("Job", job), ("Weeks", &span), ("Drawn up on", &made)];
    html! { dl { @for (name, says) in known { div { dt { (name) } dd { (says) } } } } }
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
