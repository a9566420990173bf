//! Lists statements.

use std::collections::HashMap;

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::{SettlementId, StatementId, WorkerId};
use serde::Deserialize;
use settlement::Payee;
use utoipa::IntoParams;
use wire::{Code, Listing, StatementView};

use super::show::head;
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::parameters::{InQuery, listing, page};
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
    /// The `next` of the page before; left out for the first page.
    #[param(value_type = Option<String>, format = Uuid)]
    after: Option<StatementId>,
    /// How many at the most: 1 to 500. 100 when left out.
    limit: Option<u16>,
}

/// List statements, oldest first, without their lines
///
/// A mill sees its own statements only.
#[utoipa::path(
    tag = "settlements",
    operation_id = "list_statements",
    params(StatementQuery),
    responses((status = 200, description = "A page of statements.", body = Listing<StatementView>))
)]
#[get("/v1/statements")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<StatementQuery>,
) -> Result<Json<Listing<StatementView>>, Refusal> {
    let query = query.0;
    let page = page(query.after.map(kernel::Id::uuid), query.limit)?;
    let to = member.mill.map(Payee::Mill).or(query.worker_id.map(Payee::Worker));
    let items = service.read(&member, async |books| {
            let outfit = own(books).await?;
            let names = Names::read(books).await?;
            let mut drafts = HashMap::new();
            let mut items = Vec::new();
            for statement in books.statements(query.settlement_id, to, page).await? {
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
    Ok(Json(listing(page, items, |item: &StatementView| item.statement_id)))
}
