//! Who changed what in the books.

use crate::table::{Cell, Table};
use actix_web::web::Query;
use actix_web::{HttpRequest, HttpResponse, get};
use client::ChangeQuery;
use maud::{Markup, html};
use serde::Deserialize;

use super::{further, page};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// What is looked for; empty is anything.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Looked {
    made_by: String,
    operation: String,
    about: String,
    after: String,
}

/// Shows them.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/changes")]
pub async fn show(
    person: Person,
    looked: Query<Looked>,
    request: HttpRequest,
) -> Result<HttpResponse, Trouble> {
    let given = |text: &str| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
    let query = ChangeQuery {
        made_by: given(&looked.made_by),
        operation: given(&looked.operation).map(|name| name.to_lowercase().replace(' ', "_")),
        about: given(&looked.about),
        after: given(&looked.after),
        limit: Some(100),
        ..ChangeQuery::default()
    };
    let found = person.service.list_changes(&query).await?;
    let heads = ["When", "Who", "As", "Did what", "The record"];
    let mut table = Table::new("table-changes", "Changes, oldest first", &heads);
    for one in &found.items {
        table.rows.push(vec![
            Cell::Words(one.made_at.to_string()),
            Cell::Head(one.made_by.clone()),
            Cell::Words(one.role.clone()),
            Cell::Words(one.operation.replace('_', " ")),
            Cell::Link {
                says: one.about.to_string(),
                to: format!(
                    "/desk/audit/changes?{}",
                    crate::page::query(&[("about", &one.about.to_string())])
                ),
                head: false,
            },
        ]);
    }
    let content = html! {
        (form(&looked))
        @if table.rows.is_empty() { p { "There are none." } } @else { (table.shown()) }
        (further("/desk/audit/changes", request.query_string(), found.next.as_ref()))
    };
    Ok(page(&person, "Changes", "/desk/audit/changes", &content))
}

fn form(looked: &Looked) -> Markup {
    html! {
        form.asked method="get" action="/desk/audit/changes" {
            div.row {
                div { label for="made_by" { "Made by" } input id="made_by" name="made_by" value=(looked.made_by) autocomplete="off"; }
                div { label for="operation" { "What was done" } input id="operation" name="operation" value=(looked.operation)
                    autocomplete="off" placeholder="post ticket"; }
                div { label for="about" { "The record's id" } input id="about" name="about" value=(looked.about) autocomplete="off"; }
                div { button id="look" type="submit" { "Show" } }
            }
        }
    }
}
