//! Takes a cruise back.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::CruiseId;
use storage::{CruiseState, Reversed};
use wire::{Code, CruiseSummary, WithdrawalCreate};

use crate::books::outside::cruising::summary;
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
    id: "withdraw_cruise",
    method: Method::POST,
    path: "/v1/cruises/{cruise_id}/withdrawal",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NotFound, Code::ReversedAlready],
};

/// Take a cruise back
///
/// It stays readable with the reason, and no cut is held against it any more. File what is right as another cruise.
#[utoipa::path(
    tag = "audit",
    operation_id = "withdraw_cruise",
    params(("cruise_id" = CruiseId, Path, description = "The cruise.")),
    request_body = WithdrawalCreate,
    responses((status = 201, description = "Taken back.", body = CruiseSummary))
)]
#[post("/v1/cruises/{cruise_id}/withdrawal")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    id: InPath<CruiseId>,
    body: Body<WithdrawalCreate>,
) -> Result<HttpResponse, Refusal> {
    let withdrawn = Reversed { reason: body.0.reason.into(), made: member.stamp(service.clock.as_ref()) };
    filing
        .keep(&service, &member, async |books| {
            let found = books.cruise(id.0).await?;
            let mut state = found.ok_or_else(|| Refusal::not_found("cruise", id.0))?;
            if let Some(before) = &state.withdrawn {
                return Err(withdrawn_already(before));
            }
            books.withdraw_cruise(id.0, &withdrawn).await?;
            state = CruiseState { withdrawn: Some(withdrawn), ..state };
            let job = books.job(state.cruise.job).await?.map(|job| job.name).unwrap_or_default();
            Ok(Kept::new(id.0, summary(&state, job)))
        })
        .await
}
