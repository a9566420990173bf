//! Files a mill.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::MillId;
use wire::{Code, MillCreate, MillView};

use super::list::view;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_mill",
    method: Method::POST,
    path: "/v1/mills",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NameTaken],
};

/// File a mill
#[utoipa::path(
    tag = "places",
    operation_id = "file_mill",
    request_body = MillCreate,
    responses((status = 201, description = "Filed.", body = MillView))
)]
#[post("/v1/mills")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<MillCreate>,
) -> Result<HttpResponse, Refusal> {
    let id: MillId = service.ids.make();
    let stamp = member.stamp(service.clock.as_ref());
    filing
        .keep(&service, &member, async |books| {
            books.add_mill(id, body.0.name.as_str(), &stamp).await?;
            let filed = books.mill(id).await?.ok_or_else(|| Refusal::not_found("mill", id))?;
            Ok(Kept::new(id, view(filed)))
        })
        .await
}
