//! Scales a piece under a contract's terms, without keeping anything.

use actix_web::http::Method;
use actix_web::post;
use actix_web::web::{Data, Json};
use scaling::Scaled;
use wire::{Code, PieceScaleRequest};

use super::direct::cannot;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, YARD_AND_BOOKS};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "scale_piece",
    method: Method::POST,
    path: "/v1/scale/piece",
    access: YARD_AND_BOOKS,
    effect: Effect::None,
    refusals: &[Code::CannotScale, Code::NamesMissingRecord],
};

/// Scale a piece under a contract's terms
///
/// Computes what the piece would scale on a ticket, with the working, and keeps nothing.
#[utoipa::path(
    tag = "scale",
    operation_id = "scale_piece",
    request_body = PieceScaleRequest,
    responses((status = 200, description = "The volume, with the working.", body = Scaled))
)]
#[post("/v1/scale/piece")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    body: Body<PieceScaleRequest>,
) -> Result<Json<Scaled>, Refusal> {
    let sent = body.0;
    let terms = service
        .read(&member, async |books| Ok::<_, Refusal>(books.terms_by_id(&[sent.terms_id]).await?))
        .await?
        .pop()
        .ok_or_else(|| {
            Refusal::new(Code::NamesMissingRecord, format!("there are no terms {}", sent.terms_id))
        })?;
    scaling::scale(&terms.practice, &sent.piece).map(Json).map_err(|problem| cannot(&problem))
}
