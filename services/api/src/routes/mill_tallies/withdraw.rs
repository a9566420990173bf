//! Takes a mill tally back.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::MillTallyId;
use storage::{MillTallyState, Reversed};
use wire::{Code, MillTallyView, WithdrawalCreate};

use crate::books::outside::overrun::{TallyNames, view};
use crate::books::outside::withdrawn_already;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "withdraw_mill_tally",
    method: Method::POST,
    path: "/v1/mill-tallies/{mill_tally_id}/withdrawal",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NotFound, Code::ReversedAlready],
};

/// Take a mill tally back
///
/// It stays readable with the reason, and no overrun counts it any more. File what is right as another tally.
#[utoipa::path(
    tag = "audit",
    operation_id = "withdraw_mill_tally",
    params(("mill_tally_id" = MillTallyId, Path, description = "The tally.")),
    request_body = WithdrawalCreate,
    responses((status = 201, description = "Taken back.", body = MillTallyView))
)]
#[post("/v1/mill-tallies/{mill_tally_id}/withdrawal")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    id: InPath<MillTallyId>,
    body: Body<WithdrawalCreate>,
) -> Result<HttpResponse, Refusal> {
    let withdrawn = Reversed { reason: body.0.reason.into(), made: member.stamp(service.clock.as_ref()) };
    filing
        .keep(&service, &member, async |books| {
            let found = books.mill_tally(id.0).await?;
            let MillTallyState { tally, withdrawn: before } =
                found.ok_or_else(|| Refusal::not_found("mill tally", id.0))?;
            if let Some(before) = before {
                return Err(withdrawn_already(&before));
            }
            books.withdraw_mill_tally(id.0, &withdrawn).await?;
            let state = MillTallyState { tally, withdrawn: Some(withdrawn) };
            Ok(Kept::new(id.0, view(state, &TallyNames::read(books).await?)?))
        })
        .await
}
