//! All statements, by week and payee, with what each came to; the papers of a week are printed from here.

use actix_web::web::Query;
use actix_web::{HttpResponse, get};
use client::{StatementQuery, all_pages};
use jiff::civil::Date;
use maud::{Markup, html};
use serde::Deserialize;
use wire::{Role, StatementView};

use super::balances;
use crate::page::{Page, Place};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Which week.
#[derive(Debug, Deserialize)]
pub struct Asked {
    /// Its last day; every week when left out.
    week: Option<Date>,
}

/// Lists them, the latest week first.
///
/// # Errors
///
/// [`Trouble`].
#[get("/statements")]
pub async fn show(person: Person, asked: Query<Asked>) -> Result<HttpResponse, Trouble> {
    let query = StatementQuery { week_ends_on: asked.week, limit: Some(500), ..StatementQuery::default() };
    let service = &person.service;
    let mut all =
        all_pages(async |after| service.list_statements(&StatementQuery { after, ..query.clone() }).await)
            .await?;
    all.sort_by(|left, right| {
        right.week_ends_on.cmp(&left.week_ends_on).then_with(|| left.payee.name.cmp(&right.payee.name))
    });
    let balances = match person.role() {
        Role::Mill => None,
        _ => Some(service.list_balances(None).await?),
    };
    let weeks = all.chunk_by(|left, right| left.week_ends_on == right.week_ends_on);
    let content = html! {
        @if all.is_empty() { p { "There is no statement yet: statements come with the posting of a week." } }
        @if balances.is_some() { p { a href="#balances" { "What everybody's account stands at" } } }
        @for week in weeks { (of_week(week)) }
        @if let Some(balances) = &balances { (balances::all(balances)) }
    };
    let page = Page {
        title: "Statements",
        person: Some(&person),
        here: Some(Place::Statements),
        scripts: &[],
        content,
    };
    Ok(page.found())
}

/// The statements of one week, each with its papers.
#[must_use]
pub fn of_week(statements: &[StatementView]) -> Markup {
    let Some(week) = statements.first().map(|one| one.week_ends_on) else { return html! {} };
    html! {
        h2 { "Week ending " (wire::words::day(week)) }
        div.wide tabindex="0" role="region" aria-label={ "Statements of the week ending " (week) } {
            table {
                caption { "Statements of the week ending " (week) }
                thead { tr {
                    th scope="col" { "Payee" } th.figure scope="col" { "Earned" } th.figure scope="col" { "Closing" }
                    th scope="col" { "Print" }
                } }
                tbody { @for one in statements {
                    tr {
                        th scope="row" {
                            a href={ "/desk/statements/" (one.statement_id) } { (one.payee.name) }
                            @if one.payee.mill_id.is_some() { " (mill)" }
                        }
                        td.figure { (one.earned) } td.figure { (one.closing) }
                        td { (papers(one)) }
                    }
                } }
            }
        }
    }
}

/// The ways to a statement on paper.
#[must_use]
pub fn papers(statement: &StatementView) -> Markup {
    let paper = format!("/desk/papers/statements/{}", statement.statement_id);
    let whose = &statement.payee.name;
    html! {
        a href={ (paper) ".pdf" } { "PDF" span.visually-hidden { " of " (whose) } } " "
        a href={ (paper) ".html" } { "Page" span.visually-hidden { " of " (whose) } }
    }
}
