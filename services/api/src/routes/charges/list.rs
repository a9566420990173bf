//! Lists charges.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::{ChargeId, Money, WorkerId};
use serde::Deserialize;
use settlement::Payee;
use storage::{ChargeState, Outfit};
use utoipa::IntoParams;
use wire::{ChargeView, Listing};

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
    id: "list_charges",
    method: Method::GET,
    path: "/v1/charges",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// Which charges.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct ChargeQuery {
    /// Of this worker.
    #[param(value_type = Option<String>, format = Uuid)]
    worker_id: Option<WorkerId>,
    /// The `next` of the page before; left out for the first page.
    #[param(value_type = Option<String>, format = Uuid)]
    after: Option<ChargeId>,
    /// How many at the most: 1 to 500. 100 when left out.
    limit: Option<u16>,
}

/// List charges, oldest first, each with what was taken of it
#[utoipa::path(
    tag = "pay",
    operation_id = "list_charges",
    params(ChargeQuery),
    responses((status = 200, description = "A page of charges.", body = Listing<ChargeView>))
)]
#[get("/v1/charges")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<ChargeQuery>,
) -> Result<Json<Listing<ChargeView>>, Refusal> {
    let page = page(query.0.after.map(kernel::Id::uuid), query.0.limit)?;
    let items: Vec<_> = service.read(&member, async |books| {
            let outfit = own(books).await?;
            let names = Names::read(books).await?;
            let found = books.charges(query.0.worker_id, page).await?;
            Ok::<_, Refusal>(found.into_iter().map(|one| view(one, &outfit, &names)).collect())
        })
        .await?;
    Ok(Json(listing(page, items, |item: &ChargeView| item.charge_id)))
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
