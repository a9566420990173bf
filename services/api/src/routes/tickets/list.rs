//! Lists tickets.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use jiff::civil::Date;
use kernel::JobId;
use serde::Deserialize;
use storage::TicketFilter;
use utoipa::IntoParams;
use wire::{Code, Listing, Name, TicketView};

use super::show::{READERS, short_view};
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation};
use crate::http::parameters::{InQuery, listing, page};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_tickets",
    method: Method::GET,
    path: "/v1/tickets",
    access: READERS,
    effect: Effect::None,
    refusals: &[],
};

/// Which tickets.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct TicketQuery {
    /// Of this job.
    #[param(value_type = Option<String>, format = Uuid)]
    job_id: Option<JobId>,
    /// From this scale book.
    book: Option<String>,
    /// Scaled on this day or later.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    from: Option<Date>,
    /// Scaled on this day or earlier.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    to: Option<Date>,
    /// `true`: only tickets that no other one corrects.
    standing: Option<bool>,
    /// The `next` of the page before; left out for the first page.
    #[param(value_type = Option<String>, format = Uuid)]
    after: Option<uuid::Uuid>,
    /// How many at the most: 1 to 500. 100 when left out.
    limit: Option<u16>,
}

/// List tickets, oldest accepted first
///
/// Corrected tickets are listed too, each with the ticket that took its place, unless `standing=true`.
#[utoipa::path(
    tag = "tickets",
    operation_id = "list_tickets",
    params(TicketQuery),
    responses((status = 200, description = "A page of tickets.", body = Listing<TicketView>))
)]
#[get("/v1/tickets")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<TicketQuery>,
) -> Result<Json<Listing<TicketView>>, Refusal> {
    let query = query.0;
    let page = page(query.after, query.limit)?;
    let book = query.book.map(Name::try_from).transpose();
    let book = book.map_err(|error| Refusal::new(Code::WrongAddress, format!("`book`: {error}")))?;
    let filter = TicketFilter {
        job: query.job_id,
        book: book.map(String::from),
        from: query.from,
        to: query.to,
        delivered_to: member.mill,
        standing_only: query.standing.unwrap_or(false),
    };
    let found = service.read(&member, async |books| Ok::<_, Refusal>(books.tickets(&filter, page).await?))
        .await?;
    let items = found.iter().map(short_view).collect::<Result<Vec<_>, _>>()?;
    Ok(Json(listing(page, items, |item: &TicketView| item.ticket_id)))
}
