//! Lists statements.

use std::collections::HashMap;

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use kernel::{MillId, SettlementId, WorkerId};
use serde::Deserialize;
use settlement::Payee;
use storage::StatementFilter;
use utoipa::IntoParams;
use wire::{Code, Listing, StatementView};

use super::show::head;
use crate::books::listing_money::payee_if_any;
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_statements",
    method: Method::GET,
    path: "/v1/statements",
    access: WHOLE_BOOKS_AND_MILL,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// Which statements.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct StatementQuery {
    /// Of this settlement.
    #[param(value_type = Option<String>, format = Uuid)]
    settlement_id: Option<SettlementId>,
    /// Of this worker.
    #[param(value_type = Option<String>, format = Uuid)]
    worker_id: Option<WorkerId>,
    /// Of this mill; one of the two at the most.
    #[param(value_type = Option<String>, format = Uuid)]
    mill_id: Option<MillId>,
    /// Of the week that ends on this day.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    week_ends_on: Option<Date>,
}

/// List statements, oldest first, without their lines
///
/// A mill sees its own statements only.
#[utoipa::path(
    tag = "settlements",
    operation_id = "list_statements",
    params(StatementQuery, PageQuery),
    responses((status = 200, description = "A page of statements.", body = Listing<StatementView>))
)]
#[get("/v1/statements")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<StatementQuery>,
) -> Result<Shown<Listing<StatementView>>, Refusal> {
    let query = &list.filter;
    let page = list.page()?;
    let asked = payee_if_any(query.worker_id, query.mill_id)?;
    let filter = StatementFilter {
        settlement: query.settlement_id,
        week_ends_on: query.week_ends_on,
        to: member.mill.map(Payee::Mill).or(asked),
    };
    let items = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            let names = Names::read(books).await?;
            let mut drafts = HashMap::new();
            let mut items = Vec::new();
            for statement in books.statements(filter, page).await? {
                let id = statement.settlement;
                if let std::collections::hash_map::Entry::Vacant(place) = drafts.entry(id) {
                    let draft = books.settlement(id).await?;
                    place.insert(draft.ok_or_else(|| Refusal::not_found("settlement", id))?);
                }
                if let Some(draft) = drafts.get(&id) {
                    items.push(head(&statement, draft, &outfit, &names));
                }
            }
            Ok::<_, Refusal>(items)
        })
        .await?;
    Ok(list.answer(items, |item: &StatementView| item.statement_id))
}
