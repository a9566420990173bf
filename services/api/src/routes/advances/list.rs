//! Lists advances.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use kernel::{AdvanceId, Money, WorkerId};
use serde::Deserialize;
use settlement::Payee;
use storage::{AdvanceState, Outfit};
use utoipa::IntoParams;
use wire::{AdvanceView, Listing};

use crate::books::money::reversed_view;
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Operation, WHOLE_BOOKS};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_advances",
    method: Method::GET,
    path: "/v1/advances",
    access: WHOLE_BOOKS,
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
}

/// List advances, oldest first, each with what was recovered of it
#[utoipa::path(
    tag = "pay",
    operation_id = "list_advances",
    params(AdvanceQuery, PageQuery),
    responses((status = 200, description = "A page of advances.", body = Listing<AdvanceView>))
)]
#[get("/v1/advances")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<AdvanceQuery>,
) -> Result<Shown<Listing<AdvanceView>>, Refusal> {
    let page = list.page()?;
    let items: Vec<_> = service.read(&member, async |books| {
            let outfit = own(books).await?;
            let names = Names::read(books).await?;
            let found = books.advances(list.filter.worker_id, page).await?;
            Ok::<_, Refusal>(found.into_iter().map(|one| view(one, &outfit, &names)).collect())
        })
        .await?;
    Ok(list.answer(items, |item: &AdvanceView| item.advance_id))
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
