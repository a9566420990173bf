//! Applies one rule to numbers, without a contract and without keeping anything.

use actix_web::http::Method;
use actix_web::post;
use actix_web::web::{Data, Json};
use scaling::{DirectAnswer, DirectRequest};
use wire::Code;

use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::operation::{EVERYONE, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "scale",
    method: Method::POST,
    path: "/v1/scale",
    access: EVERYONE,
    effect: Effect::None,
    refusals: &[Code::CannotScale],
};

/// Scale a stick by a rule
///
/// Computes and keeps nothing. Takes the same object as a line for the program `skid scale`, and gives the same
/// answer with the working. The numbers are used as they are; what a contract does to readings before its rule is
/// applied is for `scale_piece`.
#[utoipa::path(
    tag = "scale",
    operation_id = "scale",
    request_body = DirectRequest,
    responses((status = 200, description = "The volume, with the working.", body = DirectAnswer))
)]
#[post("/v1/scale")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    body: Body<DirectRequest>,
) -> Result<Json<DirectAnswer>, Refusal> {
    service.let_in(&member).await?;
    scaling::direct(&body.0).map(Json).map_err(|problem| cannot(&problem))
}

/// Why something cannot be scaled, for the caller.
pub fn cannot(problem: &scaling::ScaleProblem) -> Refusal {
    Refusal::new(Code::CannotScale, format!("{problem} ({})", problem.code()))
}
