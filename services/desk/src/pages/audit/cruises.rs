//! The cruises of standing timber.

use crate::table::{Cell, Table};
use actix_web::{HttpRequest, HttpResponse, get};
use maud::html;
use wire::{CruiseSummary, Listing};

use super::{further, page};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Shows them; the query is the API's own.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/cruises")]
pub async fn show(person: Person, request: HttpRequest) -> Result<HttpResponse, Trouble> {
    let query = request.query_string();
    let found: Listing<CruiseSummary> = person.service.follow(&format!("/v1/cruises?{query}")).await?;
    let heads = ["Job", "Done on", "Cruiser", "Plots", "Trees", "Stands"];
    let mut table = Table::new("table-cruises", "Cruises", &heads);
    for one in &found.items {
        table.rows.push(vec![
            Cell::Link {
                says: one.job_name.clone(),
                to: format!("/desk/audit/cruises/{}", one.cruise_id),
                head: true,
            },
            Cell::Words(one.cruised_on.to_string()),
            Cell::Words(one.cruiser.clone()),
            Cell::figure(one.plots),
            Cell::figure(one.trees),
            Cell::Words(if one.withdrawn.is_some() { "taken back" } else { "yes" }.to_owned()),
        ]);
    }
    let content = html! {
        p { "A cruise is an estimate of what stands. Each shows how sure it is, and what was cut on the job beside it." }
        @if table.rows.is_empty() { p { "There are none." } } @else { (table.shown()) }
        (further("/desk/audit/cruises", query, found.next.as_ref()))
    };
    Ok(page(&person, "Cruises", "/desk/audit/cruises", &content))
}
