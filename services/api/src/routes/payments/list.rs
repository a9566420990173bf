//! Lists payments.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use kernel::{MillId, Money, WorkerId};
use serde::Deserialize;
use storage::{Books, Outfit, Payment};
use utoipa::IntoParams;
use wire::{Listing, PaymentView};

use crate::books::listing_money::{filter, page_of_views, payee_if_any};
use crate::books::money::reversed_view;
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_payments",
    method: Method::GET,
    path: "/v1/payments",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// Which payments.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct PaymentQuery {
    /// To this worker.
    #[param(value_type = Option<String>, format = Uuid)]
    worker_id: Option<WorkerId>,
    /// From this mill; one of the two at the most.
    #[param(value_type = Option<String>, format = Uuid)]
    mill_id: Option<MillId>,
    /// Of this day or later.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    from: Option<Date>,
    /// Of this day or earlier.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    to: Option<Date>,
}

/// List payments, oldest first
#[utoipa::path(
    tag = "pay",
    operation_id = "list_payments",
    params(PaymentQuery, PageQuery),
    responses((status = 200, description = "A page of payments.", body = Listing<PaymentView>))
)]
#[get("/v1/payments")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<PaymentQuery>,
) -> Result<Shown<Listing<PaymentView>>, Refusal> {
    let query = &list.filter;
    let asked = (filter(payee_if_any(query.worker_id, query.mill_id)?, query.from, query.to)?, list.page()?);
    let items = page_of_views(&service, &member, asked, Books::payments, view).await?;
    Ok(list.answer(items, |item: &PaymentView| item.payment_id))
}

/// A payment as it is shown.
pub fn view(found: Payment, outfit: &Outfit, names: &Names) -> PaymentView {
    let payment = found.payment;
    PaymentView {
        payment_id: payment.id,
        payee: names.payee(payment.payee),
        dated: payment.dated,
        says: payment.says,
        amount: Money::from_minor(payment.amount_minor, outfit.currency),
        journal_entry_id: payment.entry,
        reversed: reversed_view(found.reversed),
        made_by: payment.made.by,
        made_at: payment.made.at,
    }
}
