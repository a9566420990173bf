//! Lets go of holdback.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::Money;
use settlement::Booking;
use storage::{Books, Outfit, Release, ReleaseState};
use wire::{Code, FieldProblem, ReleaseCreate, ReleaseView};

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
    id: "release_holdback",
    method: Method::POST,
    path: "/v1/holdback-releases",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord, Code::MoreThanHeld],
};

/// Let go of holdback
///
/// From then on it is owed to the worker like other pay, and comes on the next statement. Never more than is held.
#[utoipa::path(
    tag = "pay",
    operation_id = "release_holdback",
    request_body = ReleaseCreate,
    responses((status = 201, description = "Let go.", body = ReleaseView))
)]
#[post("/v1/holdback-releases")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<ReleaseCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    filing
        .keep(&service, &member, async |books| {
            // Two who let go at once could together let go more than is held.
            books.close_to_others(&service.ids).await?;
            let outfit = own(books).await?;
            let let_go = amount(sent.amount, &outfit, "#/amount")?;
            check_held(books, &outfit, &sent, let_go).await?;
            let made = member.stamp(service.clock.as_ref());
            let entry = Booking::Release(sent.worker_id).entry(let_go).map_err(Refusal::internal)?;
            let says = format!("Holdback let go: {}", sent.says);
            let release = Release {
                id: service.ids.make(),
                worker: sent.worker_id,
                contract: sent.contract_id,
                dated: sent.dated,
                says: sent.says.into(),
                amount_minor: let_go.minor(),
                entry: book(books, &service, &entry, (says, sent.dated), &made).await?,
                made,
            };
            books.add_release(&release).await?;
            let (id, names) = (release.id, Names::read(books).await?);
            Ok(Kept::new(id, view(ReleaseState { release, reversed: None }, &outfit, &names)))
        })
        .await
}

/// Refuses to let go more than is held of the worker under the contract.
async fn check_held(
    books: &mut Books,
    outfit: &Outfit,
    sent: &ReleaseCreate,
    let_go: Money,
) -> Result<(), Refusal> {
    let missing = |kind: &str, id: &dyn std::fmt::Display| {
        Refusal::new(Code::NamesMissingRecord, format!("there is no {kind} {id} in your outfit's books"))
    };
    if books.worker(sent.worker_id).await?.is_none() {
        return Err(missing("worker", &sent.worker_id));
    }
    if books.contract(sent.contract_id).await?.is_none() {
        return Err(missing("contract", &sent.contract_id));
    }
    let held = books.held().await?.get(&(sent.worker_id, sent.contract_id)).copied().unwrap_or_default();
    if let_go.minor() <= held {
        return Ok(());
    }
    let held = Money::from_minor(held, outfit.currency);
    let detail = format!("{held} is held of the worker under this contract, and {let_go} was to be let go");
    let problem = FieldProblem { pointer: "#/amount".to_owned(), detail: detail.clone() };
    Err(Refusal::new(Code::MoreThanHeld, detail).at(vec![problem]))
}
