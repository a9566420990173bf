//! The contracts.

use crate::table::{Cell, Table};
use actix_web::web::Query;
use actix_web::{HttpResponse, get};
use client::PageQuery;
use maud::html;
use serde::Deserialize;
use wire::Party;

use super::show::Named;
use crate::page::{Page, Place};
use crate::pages::audit::further;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Which page of the list.
#[derive(Debug, Default, Deserialize)]
pub struct After {
    after: Option<String>,
}

/// Shows them.
///
/// # Errors
///
/// [`Trouble`].
#[get("/contracts")]
pub async fn show(person: Person, after: Query<After>) -> Result<HttpResponse, Trouble> {
    let page = PageQuery { after: after.into_inner().after, limit: Some(100) };
    let found = person.service.list_contracts(&page).await?;
    let named = Named::read(&person).await?;
    let heads = ["Contract", "With", "Job", "Latest terms from", "Rates"];
    let mut table = Table::new("table-contracts", "Contracts", &heads);
    for one in &found.items {
        let latest = one.terms.last();
        let side = match one.party {
            Party::CrewId(_) => "we pay",
            Party::MillId(_) => "pays us",
        };
        table.rows.push(vec![
            Cell::Link {
                says: one.title.clone(),
                to: format!("/desk/contracts/{}", one.contract_id),
                head: true,
            },
            Cell::Words(format!("{} ({side})", named.party(one.party))),
            Cell::Words(named.job(one.job_id)),
            Cell::Words(latest.map(|terms| terms.effective_from.to_string()).unwrap_or_default()),
            Cell::maybe(latest.map(|terms| terms.rates.as_slice().len())),
        ]);
    }
    let content = html! {
        @if person.keeps_books() { p { a.button #file-contract href="/desk/contracts/new" { "File a contract" } } }
        @if table.rows.is_empty() { p { "There are none." } } @else { (table.shown()) }
        (further("/desk/contracts", "", found.next.as_ref()))
    };
    Ok(Page {
        title: "Contracts",
        person: Some(&person),
        here: Some(Place::Contracts),
        scripts: &[],
        content,
    }
    .found())
}
