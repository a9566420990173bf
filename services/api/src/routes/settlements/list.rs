//! Lists settlements.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use serde::Deserialize;
use utoipa::IntoParams;
use wire::{Listing, SettlementView};

use super::show::view;
use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_settlements",
    method: Method::GET,
    path: "/v1/settlements",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// Which settlements.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct SettlementQuery {
    /// Of the week that ends on this day.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    week_ends_on: Option<Date>,
    /// `true`: only posted ones.
    posted: Option<bool>,
}

/// A settlement as a list shows it.
fn without_its_parts(view: SettlementView) -> SettlementView {
    SettlementView { lines: Vec::new(), pays: Vec::new(), volumes: Vec::new(), ..view }
}

/// List settlements, oldest draft first, without their lines
#[utoipa::path(
    tag = "settlements",
    operation_id = "list_settlements",
    params(SettlementQuery, PageQuery),
    responses((status = 200, description = "A page of settlements.", body = Listing<SettlementView>))
)]
#[get("/v1/settlements")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<SettlementQuery>,
) -> Result<Shown<Listing<SettlementView>>, Refusal> {
    let query = &list.filter;
    let page = list.page()?;
    let items = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            let found = books.settlements(query.week_ends_on, query.posted.unwrap_or(false), page).await?;
            found
                .iter()
                .map(|draft| Ok(without_its_parts(view(draft, &outfit)?)))
                .collect::<Result<Vec<_>, Refusal>>()
        })
        .await?;
    Ok(list.answer(items, |item: &SettlementView| item.settlement_id))
}
