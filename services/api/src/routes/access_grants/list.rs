//! Lists who has access.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use serde::Deserialize;
use utoipa::IntoParams;
use wire::{AccessGrantView, Listing};

use crate::access::grants::view;
use crate::http::caller::Member;
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::parameters::{InQuery, listing, page};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_access",
    method: Method::GET,
    path: "/v1/access-grants",
    access: MANAGING,
    effect: Effect::None,
    refusals: &[],
};

/// Which grants.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct AccessQuery {
    /// The `next` of the page before; left out for the first page.
    #[param(value_type = Option<String>, format = Uuid)]
    after: Option<uuid::Uuid>,
    /// How many at the most: 1 to 500. 100 when left out.
    limit: Option<u16>,
    /// Only what lets somebody in now: neither revoked nor expired.
    standing: Option<bool>,
}

/// List who has access
///
/// Everybody who signed in, every token that was handed out, every key; and until when. No secret is among it.
#[utoipa::path(
    tag = "access",
    operation_id = "list_access",
    params(AccessQuery),
    responses((status = 200, description = "A page of grants, oldest first.", body = Listing<AccessGrantView>))
)]
#[get("/v1/access-grants")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<AccessQuery>,
) -> Result<Json<Listing<AccessGrantView>>, Refusal> {
    let page = page(query.0.after, query.0.limit)?;
    let now = service.clock.now();
    let standing_at = query.0.standing.filter(|standing| *standing).map(|_| now);
    let found = service.read(&member, async |books| Ok::<_, Refusal>(books.grants(standing_at, page).await?));
    let items = found.await?.into_iter().map(|state| view(state, now)).collect::<Result<Vec<_>, _>>()?;
    Ok(Json(listing(page, items, |item: &AccessGrantView| item.grant_id)))
}
