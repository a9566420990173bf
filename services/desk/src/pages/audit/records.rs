//! Lists that figures of the audit lead to: hours, payments, statements, balances.

use crate::table::{Cell, Table};
use actix_web::{HttpRequest, HttpResponse, get};
use client::{PageQuery, all_pages};
use maud::html;
use wire::{Balances, Listing, PaymentView, StatementView, TimeEntryView};

use super::{further, page};
use crate::session::person::Person;
use crate::trouble::Trouble;

fn list(person: &Person, title: &str, table: &Table, further: &maud::Markup) -> HttpResponse {
    let content = html! {
        @if table.rows.is_empty() { p { "There are none." } } @else { (table.shown()) }
        (further)
    };
    page(person, title, "", &content)
}

/// Hours that count.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/time-entries")]
pub async fn time_entries(person: Person, request: HttpRequest) -> Result<HttpResponse, Trouble> {
    let query = request.query_string();
    let entries: Listing<TimeEntryView> = person.service.follow(&format!("/v1/time-entries?{query}")).await?;
    let page = |after| PageQuery { after, limit: Some(500) };
    let workers = all_pages(async |after| person.service.list_workers(&page(after)).await).await?;
    let heads = ["Who", "Day", "Hours", "Entered by"];
    let mut table = Table::new("table-hours", "Hours", &heads);
    for one in &entries.items {
        let who = workers.iter().find(|worker| worker.worker_id == one.worker_id);
        table.rows.push(vec![
            Cell::Head(who.map(|worker| worker.name.clone()).unwrap_or_default()),
            Cell::Words(one.worked_on.to_string()),
            Cell::maybe(one.hours),
            Cell::Words(one.made_by.clone()),
        ]);
    }
    let more = further("/desk/audit/time-entries", query, entries.next.as_ref());
    Ok(list(&person, "Hours", &table, &more))
}

/// Payments.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/payments")]
pub async fn payments(person: Person, request: HttpRequest) -> Result<HttpResponse, Trouble> {
    let query = request.query_string();
    let payments: Listing<PaymentView> = person.service.follow(&format!("/v1/payments?{query}")).await?;
    let heads = ["Whom", "Day", "Amount", "What it says", "Entered by", "Taken back"];
    let mut table = Table::new("table-payments", "Payments", &heads);
    for one in &payments.items {
        table.rows.push(vec![
            Cell::Head(one.payee.name.clone()),
            Cell::Words(one.dated.to_string()),
            Cell::figure(one.amount),
            Cell::Words(one.says.clone()),
            Cell::Words(one.made_by.clone()),
            Cell::Words(if one.reversed.is_some() { "yes" } else { "no" }.to_owned()),
        ]);
    }
    let more = further("/desk/audit/payments", query, payments.next.as_ref());
    Ok(list(&person, "Payments", &table, &more))
}

/// Statements.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/statements")]
pub async fn statements(person: Person, request: HttpRequest) -> Result<HttpResponse, Trouble> {
    let query = request.query_string();
    let found: Listing<StatementView> = person.service.follow(&format!("/v1/statements?{query}")).await?;
    let heads = ["Statement of", "Week ending", "Opening", "Earned", "Added", "Kept back", "Closing"];
    let mut table = Table::new("table-statements", "Statements", &heads);
    for one in &found.items {
        let mut cells = vec![
            Cell::Link {
                says: one.payee.name.clone(),
                to: format!("/desk/statements/{}", one.statement_id),
                head: true,
            },
            Cell::Words(one.week_ends_on.to_string()),
        ];
        cells.extend([one.opening, one.earned, one.added, one.kept_back, one.closing].map(Cell::figure));
        table.rows.push(cells);
    }
    let more = further("/desk/audit/statements", query, found.next.as_ref());
    Ok(list(&person, "Statements", &table, &more))
}

/// What is owed to whom on a day.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/balances")]
pub async fn balances(person: Person, request: HttpRequest) -> Result<HttpResponse, Trouble> {
    let query = request.query_string();
    let balances: Balances = person.service.follow(&format!("/v1/balances?{query}")).await?;
    let mut table = Table::new("table-balances", "Owed to a worker, or by a mill", &["Payee", "Balance"]);
    for one in &balances.items {
        table.rows.push(vec![Cell::Head(one.payee.name.clone()), Cell::figure(one.balance)]);
    }
    Ok(list(&person, "Balances", &table, &html! {}))
}
