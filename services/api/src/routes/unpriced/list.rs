//! Lists what nothing pays for yet.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use serde::Deserialize;
use storage::UnpricedFilter;
use utoipa::IntoParams;
use wire::{Listing, UnpricedView};

use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, YARD_AND_BOOKS};
use crate::http::parameters::check_span;
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

/// On tickets of which days.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct UnpricedQuery {
    /// On tickets scaled on this day or later.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    from: Option<Date>,
    /// On tickets scaled on this day or earlier.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    to: Option<Date>,
}

/// List what nothing pays for yet
///
/// Each holds up its week until a rate covers it or it is set aside. In the order of days, books and numbers.
#[utoipa::path(
    tag = "tickets",
    operation_id = "list_unpriced",
    params(UnpricedQuery, PageQuery),
    responses((status = 200, description = "A page of what is unpriced, oldest first.",
               body = Listing<UnpricedView>))
)]
#[get("/v1/unpriced")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<UnpricedQuery>,
) -> Result<Shown<Listing<UnpricedView>>, Refusal> {
    let UnpricedQuery { from, to } = list.filter;
    check_span(from, to)?;
    let page = list.page()?;
    let filter = UnpricedFilter { ticket: None, from, to };
    let found = service
        .read(&member, async |books| Ok::<_, Refusal>(books.open_unpriced(filter, page).await?))
        .await?;
    Ok(list.answer_beside(found.into_iter().map(|one| (one.id, unpriced_view(one))).collect()))
}
