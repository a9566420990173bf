//! Lists who has access.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use serde::Deserialize;
use utoipa::IntoParams;
use wire::{AccessGrantView, Listing};

use crate::access::grants::view;
use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, MANAGING, Operation};
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
    /// Only what lets somebody in now: neither revoked nor expired.
    standing: Option<bool>,
}

/// List who has access
///
/// Everybody who signed in, every token that was handed out, every key; and until when. No secret is among it.
#[utoipa::path(
    tag = "access",
    operation_id = "list_access",
    params(AccessQuery, PageQuery),
    responses((status = 200, description = "A page of grants, oldest first.", body = Listing<AccessGrantView>))
)]
#[get("/v1/access-grants")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<AccessQuery>,
) -> Result<Shown<Listing<AccessGrantView>>, Refusal> {
    let page = list.page()?;
    let now = service.clock.now();
    let standing_at = list.filter.standing.filter(|standing| *standing).map(|_| now);
    let found = service.read(&member, async |books| Ok::<_, Refusal>(books.grants(standing_at, page).await?));
    let items = found.await?.into_iter().map(|state| view(state, now)).collect::<Result<Vec<_>, _>>()?;
    Ok(list.answer(items, |item: &AccessGrantView| item.grant_id))
}
