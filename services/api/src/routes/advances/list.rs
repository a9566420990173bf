//! Lists advances.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::{AdvanceId, Money, WorkerId};
use serde::Deserialize;
use settlement::Payee;
use storage::{AdvanceState, Outfit};
use utoipa::IntoParams;
use wire::{AdvanceView, Listing};

use crate::books::money::reversed_view;
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::{InQuery, listing, page};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_advances",
    method: Method::GET,
    path: "/v1/advances",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// Which advances.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct AdvanceQuery {
    /// Of this worker.
    #[param(value_type = Option<String>, format = Uuid)]
    worker_id: Option<WorkerId>,
    /// The `next` of the page before; left out for the first page.
    #[param(value_type = Option<String>, format = Uuid)]
    after: Option<AdvanceId>,
    /// How many at the most: 1 to 500. 100 when left out.
    limit: Option<u16>,
}

/// List advances, oldest first, each with what was recovered of it
#[utoipa::path(
    tag = "pay",
    operation_id = "list_advances",
    params(AdvanceQuery),
    responses((status = 200, description = "A page of advances.", body = Listing<AdvanceView>))
)]
#[get("/v1/advances")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<AdvanceQuery>,
) -> Result<Json<Listing<AdvanceView>>, Refusal> {
    let page = page(query.0.after.map(kernel::Id::uuid), query.0.limit)?;
    let items: Vec<_> = service.read(&member, async |books| {
            let outfit = own(books).await?;
            let names = Names::read(books).await?;
            let found = books.advances(query.0.worker_id, page).await?;
            Ok::<_, Refusal>(found.into_iter().map(|one| view(one, &outfit, &names)).collect())
        })
        .await?;
    Ok(Json(listing(page, items, |item: &AdvanceView| item.advance_id)))
}

/// An advance as it is shown.
pub fn view(state: AdvanceState, outfit: &Outfit, names: &Names) -> AdvanceView {
    let money = |minor| Money::from_minor(minor, outfit.currency);
    let outstanding = money(state.outstanding_minor());
    let advance = state.advance;
    AdvanceView {
        advance_id: advance.id,
        payee: names.payee(Payee::Worker(advance.worker)),
        dated: advance.dated,
        says: advance.says,
        amount: money(advance.amount_minor),
        recovery: advance.recovery,
        taken: money(state.taken_minor),
        outstanding,
        journal_entry_id: advance.entry,
        reversed: reversed_view(state.reversed),
        made_by: advance.made.by,
        made_at: advance.made.at,
    }
}
