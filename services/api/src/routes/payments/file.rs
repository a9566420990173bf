//! Records money that changed hands.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::Money;
use settlement::{Booking, Payee};
use storage::{NewPayment, Payment};
use wire::{Code, PaymentCreate, PaymentParty, PaymentRecorded};

use super::list::view;
use crate::books::money::{amount, book};
use crate::books::names::Names;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_payment",
    method: Method::POST,
    path: "/v1/payments",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord],
};

/// Record a payment to a worker, or from a mill
///
/// Money that changed hands is a fact: it is taken down also where more is paid than was owed. The reply says where it
/// leaves the balance.
#[utoipa::path(
    tag = "pay",
    operation_id = "file_payment",
    request_body = PaymentCreate,
    responses((status = 201, description = "Recorded.", body = PaymentRecorded))
)]
#[post("/v1/payments")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<PaymentCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    let payee = payee(sent.party);
    filing
        .keep(&service, &member, async |books| {
            // Nobody else may move the balance between the payment and its answer.
            books.close_to_others(&service.ids).await?;
            let outfit = own(books).await?;
            let paid = amount(sent.amount, &outfit, "#/amount")?;
            let made = member.stamp(service.clock.as_ref());
            let entry = Booking::Payment(payee).entry(paid).map_err(Refusal::internal)?;
            let says = format!("Payment: {}", sent.says);
            let payment = NewPayment {
                id: service.ids.make(),
                payee,
                dated: sent.dated,
                says: sent.says.into(),
                amount_minor: paid.minor(),
                entry: book(books, &service, &entry, (says, sent.dated), &made).await?,
                made,
            };
            books.add_payment(&payment).await?;
            let balance = books.balances().await?.get(&payee).copied().unwrap_or_default();
            let names = Names::read(books).await?;
            let id = payment.id;
            let recorded = PaymentRecorded {
                payment: view(Payment { payment, reversed: None }, &outfit, &names),
                balance: Money::from_minor(balance, outfit.currency),
            };
            Ok(Kept::new(id, recorded))
        })
        .await
}

/// The other side of a payment as the books know it.
const fn payee(party: PaymentParty) -> Payee {
    match party {
        PaymentParty::WorkerId(worker) => Payee::Worker(worker),
        PaymentParty::MillId(mill) => Payee::Mill(mill),
    }
}
