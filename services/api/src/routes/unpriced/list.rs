//! Lists what nothing pays for yet.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use jiff::civil::Date;
use serde::Deserialize;
use utoipa::IntoParams;
use wire::UnpricedView;

use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, YARD_AND_BOOKS};
use crate::http::parameters::InQuery;
use crate::http::refusal::Refusal;
use crate::routes::tickets::show::unpriced_view;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_unpriced",
    method: Method::GET,
    path: "/v1/unpriced",
    access: YARD_AND_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// The most that is listed at once.
const MOST: u16 = 1_000;

/// Up to which day.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct UnpricedQuery {
    /// On tickets scaled on this day or earlier; all when left out.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    to: Option<Date>,
}

/// List what nothing pays for yet
///
/// Each holds up its week until a rate covers it or it is set aside. The oldest thousand are listed.
#[utoipa::path(
    tag = "tickets",
    operation_id = "list_unpriced",
    params(UnpricedQuery),
    responses((status = 200, description = "What is unpriced, oldest first.", body = Vec<UnpricedView>))
)]
#[get("/v1/unpriced")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<UnpricedQuery>,
) -> Result<Json<Vec<UnpricedView>>, Refusal> {
    let found = service.read(&member, async |books| {
            Ok::<_, Refusal>(books.open_unpriced(None, query.0.to, MOST).await?)
        })
        .await?;
    Ok(Json(found.into_iter().map(unpriced_view).collect()))
}
