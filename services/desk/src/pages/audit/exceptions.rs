//! Exceptions by kind: how many, what each means, how it is found, what to do.

use actix_web::web::{Data, Query};
use actix_web::{HttpResponse, get};
use client::SpanQuery;
use maud::{Markup, html};
use wire::{ExceptionCount, ExceptionSummary};

use super::asked::{Choices, Filled, id};
use super::{page, sentences};
use crate::desk::Desk;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Shows them.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/exceptions")]
pub async fn show(person: Person, desk: Data<Desk>, filled: Query<Filled>) -> Result<HttpResponse, Trouble> {
    let filled = filled.into_inner().with_days(&person, &desk).await?;
    let (from, to) = filled.days()?;
    let span = SpanQuery { from, to, job_id: id(&filled.job_id)? };
    let found = person.service.summarize_exceptions(&span).await?;
    let choices = Choices { jobs: Choices::read(&person).await?.jobs, ..Choices::default() };
    Ok(page(&person, "Exceptions", "/desk/audit/exceptions", &content(&found, &filled, &choices)))
}

fn content(found: &ExceptionSummary, filled: &Filled, choices: &Choices) -> Markup {
    let (some, none): (Vec<_>, Vec<_>) = found.kinds.iter().partition(|one| one.count > 0);
    html! {
        (filled.form("/desk/audit/exceptions", choices))
        p { strong #count { (found.count) } " from " (found.from) " to " (found.to)
            ". An exception is a question, not a verdict: somebody looks, and hears who was there." }
        @for one in some { (kind(one, &filled.as_query())) }
        @if !found.cannot_be_told.is_empty() { h2 { "What could not be judged" } (sentences(&found.cannot_be_told)) }
        @if !none.is_empty() {
            h2 { "Looked for, and not found" }
            @for one in none {
                details { summary { (name(one)) } p { (one.means) } p.help { "How it is found: " (one.found_by) } }
            }
        }
    }
}

/// A kind as people say it.
fn name(one: &ExceptionCount) -> String {
    papers::words::capital(&one.kind.name().replace('_', " "))
}

fn kind(one: &ExceptionCount, query: &str) -> Markup {
    html! {
        section id=(one.kind.name()) {
            h2 { a href={ "/desk/audit/exceptions/" (one.kind.name()) "?" (query) } { (name(one)) ": " (one.count) } }
            p { (one.means) }
            p { strong { "What to do. " } (one.what_to_do) }
            details { summary { "How it is found" } p { (one.found_by) } }
        }
    }
}
