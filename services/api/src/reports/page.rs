//! The report as one page to read and to print: no script, no network, every chart followed by its figures as a table.
//!
//! What the sections are is the crate `report`'s; here is the frame around them. All text goes through the templates, which
//! escape it; the style alone is put in as it stands.

use maud::{DOCTYPE, Markup, PreEscaped, html};
use report::{sections, words};
use wire::AuditReport;

/// What a browser may do with the page: apply the style that stands in it, and nothing else.
pub const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; \
form-action 'none'; frame-ancestors 'none'";

const STYLE: &str = include_str!("page/style.css");

/// The page.
#[must_use]
pub fn page(report: &AuditReport) -> String {
    let sections = sections(report, None);
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
