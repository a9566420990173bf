//! Computes a posted week again, and holds it against what was posted.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, get};
use kernel::{ContractId, SettlementId};
use serde::Deserialize;
use utoipa::IntoParams;
use wire::{Code, ExplanationFormat, Rederivation};

use crate::books::rederiving::rederive;
use crate::http::caller::Member;
use crate::http::explaining::answer;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::{InPath, InQuery};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "rederive_settlement",
    method: Method::GET,
    path: "/v1/settlements/{settlement_id}/rederivation",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// Which part of it, and in which form.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct RederivationQuery {
    /// Only the lines of this contract; the whole week when it is left out.
    contract_id: Option<ContractId>,
    /// In which form: `json`, also when it is left out, or `text`.
    #[serde(default)]
    #[param(inline)]
    format: Option<ExplanationFormat>,
}

/// Compute a posted week again
///
/// Scales every piece again from what was measured, under the very terms that were used; counts, prices and divides it;
/// works out again what was added to pay and kept back, from what the books had when the week was posted; and compares
/// all of it, line by line, with what was posted, drafted, booked and stated. Nothing is changed. The answer tells how
/// much was compared, how long it took, and every place that differs.
#[utoipa::path(
    tag = "settlements",
    operation_id = "rederive_settlement",
    params(("settlement_id" = SettlementId, Path, description = "The posted settlement."), RederivationQuery),
    responses((status = 200, description = "What came of it.",
               content((Rederivation = "application/json"), (String = "text/plain"))))
)]
#[get("/v1/settlements/{settlement_id}/rederivation")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<SettlementId>,
    query: InQuery<RederivationQuery>,
) -> Result<HttpResponse, Refusal> {
    let RederivationQuery { contract_id, format } = query.0;
    let clock = service.clock.clone();
    let done = service.read(&member, async |books| rederive(books, id.0, contract_id, clock.as_ref()).await);
    Ok(answer(format, &done.await?, client::text::rederivation))
}
