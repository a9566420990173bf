//! Records money handed to a worker before it was earned.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use settlement::{Booking, Recovery};
use storage::{Advance, AdvanceState, Outfit};
use wire::{AdvanceCreate, AdvanceView, Code};

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
    id: "file_advance",
    method: Method::POST,
    path: "/v1/advances",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord],
};

/// Record an advance
///
/// It is booked at once, and recovered from the worker's pay as its plan says, the older advances first.
#[utoipa::path(
    tag = "pay",
    operation_id = "file_advance",
    request_body = AdvanceCreate,
    responses((status = 201, description = "Recorded.", body = AdvanceView))
)]
#[post("/v1/advances")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<AdvanceCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    filing
        .keep(&service, &member, async |books| {
            books.enter_records(&service.ids).await?;
            let outfit = own(books).await?;
            let handed = amount(sent.amount, &outfit, "#/amount")?;
            check_recovery(sent.recovery, &outfit)?;
            let made = member.stamp(service.clock.as_ref());
            let entry = Booking::Advance(sent.worker_id).entry(handed).map_err(Refusal::internal)?;
            let says = format!("Advance: {}", sent.says);
            let advance = Advance {
                id: service.ids.make(),
                worker: sent.worker_id,
                dated: sent.dated,
                says: sent.says.into(),
                amount_minor: handed.minor(),
                recovery: sent.recovery,
                entry: book(books, &service, &entry, (says, sent.dated), &made).await?,
                made,
            };
            books.add_advance(&advance).await?;
            let (id, state) = (advance.id, AdvanceState { advance, taken_minor: 0, reversed: None });
            Ok(Kept::new(id, view(state, &outfit, &Names::read(books).await?)))
        })
        .await
}

/// The most that a plan takes must be an amount of the outfit's currency.
fn check_recovery(plan: Recovery, outfit: &Outfit) -> Result<(), Refusal> {
    match plan {
        Recovery::MostAWeek { amount: most } => amount(most, outfit, "#/recovery/amount").map(|_| ()),
        Recovery::Whole {} | Recovery::PartOfPay { .. } => Ok(()),
    }
}
