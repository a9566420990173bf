//! Lists payments.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::{MillId, Money, PaymentId, WorkerId};
use serde::Deserialize;
use settlement::Payee;
use storage::{Outfit, Payment};
use utoipa::IntoParams;
use wire::{Code, Listing, PaymentView};

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
    /// The `next` of the page before; left out for the first page.
    #[param(value_type = Option<String>, format = Uuid)]
    after: Option<PaymentId>,
    /// How many at the most: 1 to 500. 100 when left out.
    limit: Option<u16>,
}

/// List payments, oldest first
#[utoipa::path(
    tag = "pay",
    operation_id = "list_payments",
    params(PaymentQuery),
    responses((status = 200, description = "A page of payments.", body = Listing<PaymentView>))
)]
#[get("/v1/payments")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<PaymentQuery>,
) -> Result<Json<Listing<PaymentView>>, Refusal> {
    let query = query.0;
    let page = page(query.after.map(kernel::Id::uuid), query.limit)?;
    let of = match (query.worker_id, query.mill_id) {
        (Some(_), Some(_)) => {
            let says = "`worker_id` and `mill_id` cannot both be asked for: a payment has one of them";
            return Err(Refusal::new(Code::WrongAddress, says));
        }
        (worker, mill) => worker.map(Payee::Worker).or(mill.map(Payee::Mill)),
    };
    let items: Vec<_> = service.read(&member, async |books| {
            let outfit = own(books).await?;
            let names = Names::read(books).await?;
            let found = books.payments(of, page).await?;
            Ok::<_, Refusal>(found.into_iter().map(|one| view(one, &outfit, &names)).collect())
        })
        .await?;
    Ok(Json(listing(page, items, |item: &PaymentView| item.payment_id)))
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
