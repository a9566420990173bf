//! Lists advances.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use kernel::Money;
use settlement::Payee;
use storage::{AdvanceState, Books, Outfit};
use wire::{AdvanceView, Listing};

use crate::books::listing_money::{MoneyQuery, page_of_views};
use crate::books::money::reversed_view;
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::refusal::Refusal;
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

/// List advances, oldest first, each with what was recovered of it
#[utoipa::path(
    tag = "pay",
    operation_id = "list_advances",
    params(MoneyQuery, PageQuery),
    responses((status = 200, description = "A page of advances.", body = Listing<AdvanceView>))
)]
#[get("/v1/advances")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<MoneyQuery>,
) -> Result<Shown<Listing<AdvanceView>>, Refusal> {
    let asked = (list.filter.filter()?, list.page()?);
    let items = page_of_views(&service, &member, asked, Books::advances, view).await?;
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
