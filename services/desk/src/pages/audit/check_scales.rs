//! The check scales: who scaled what again, and when.

use crate::table::{Cell, Table};
use actix_web::{HttpRequest, HttpResponse, get};
use maud::html;
use papers::report::words;
use wire::{CheckScaleView, Listing};

use super::{further, page};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Shows them; the query is the API's own.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/check-scales")]
pub async fn show(person: Person, request: HttpRequest) -> Result<HttpResponse, Trouble> {
    let query = request.query_string();
    let found: Listing<CheckScaleView> = person.service.follow(&format!("/v1/check-scales?{query}")).await?;
    let heads = ["Contract", "Checked on", "Checker", "Scaler", "Lot", "Sampled"];
    let mut table = Table::new("table-check-scales", "Check scales", &heads);
    for one in &found.items {
        table.rows.push(vec![
            Cell::Link {
                says: one.contract_title.clone(),
                to: format!("/desk/audit/check-scales/{}", one.check_scale_id),
                head: true,
            },
            Cell::Words(one.checked_on.to_string()),
            Cell::Words(one.checker.clone()),
            Cell::Words(one.scaler.clone().unwrap_or_else(|| "several".to_owned())),
            Cell::Words(format!("{} to {}", one.from, one.to)),
            Cell::Words(words::count(i64::try_from(one.sampled).unwrap_or(i64::MAX), "piece")),
        ]);
    }
    let content = html! {
        p { "In a check scale somebody else scales a sample again. Each shows both scales stick by stick, how far apart they \
    are, and what that comes to in money." }
        @if table.rows.is_empty() { p { "There are none." } } @else { (table.shown()) }
        (further("/desk/audit/check-scales", query, found.next.as_ref()))
    };
    Ok(page(&person, "Check scales", "/desk/audit/check-scales", &content))
}
