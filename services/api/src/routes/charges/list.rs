//! Lists charges.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use kernel::Money;
use settlement::Payee;
use storage::{Books, ChargeState, Outfit};
use wire::{ChargeView, Listing};

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
    id: "list_charges",
    method: Method::GET,
    path: "/v1/charges",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// List charges, oldest first, each with what was taken of it
#[utoipa::path(
    tag = "pay",
    operation_id = "list_charges",
    params(MoneyQuery, PageQuery),
    responses((status = 200, description = "A page of charges.", body = Listing<ChargeView>))
)]
#[get("/v1/charges")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<MoneyQuery>,
) -> Result<Shown<Listing<ChargeView>>, Refusal> {
    let asked = (list.filter.filter()?, list.page()?);
    let items = page_of_views(&service, &member, asked, Books::charges, view).await?;
    Ok(list.answer(items, |item: &ChargeView| item.charge_id))
}

/// A charge as it is shown.
pub fn view(state: ChargeState, outfit: &Outfit, names: &Names) -> ChargeView {
    let money = |minor| Money::from_minor(minor, outfit.currency);
    let outstanding = money(state.outstanding_minor());
    let charge = state.charge;
    ChargeView {
        charge_id: charge.id,
        payee: names.payee(Payee::Worker(charge.worker)),
        dated: charge.dated,
        kind: charge.kind,
        says: charge.says,
        amount: money(charge.amount_minor),
        most_a_week: charge.most_a_week_minor.map(money),
        cuts_into_minimum: charge.cuts_into_minimum,
        taken: money(state.taken_minor),
        outstanding,
        reversed: reversed_view(state.reversed),
        made_by: charge.made.by,
        made_at: charge.made.at,
    }
}
