//! Files a worker.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::WorkerId;
use wire::{Code, WorkerCreate, WorkerView};

use super::list::view;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_worker",
    method: Method::POST,
    path: "/v1/workers",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NameTaken],
};

/// File a worker
#[utoipa::path(
    tag = "people",
    operation_id = "file_worker",
    request_body = WorkerCreate,
    responses((status = 201, description = "Filed.", body = WorkerView))
)]
#[post("/v1/workers")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<WorkerCreate>,
) -> Result<HttpResponse, Refusal> {
    let id: WorkerId = service.ids.make();
    let stamp = member.stamp(service.clock.as_ref());
    filing
        .keep(&service, &member, async |books| {
            books.add_worker(id, body.0.name.as_str(), &stamp).await?;
            let filed = books.worker(id).await?.ok_or_else(|| Refusal::not_found("worker", id))?;
            Ok(Kept::new(id, view(filed)))
        })
        .await
}
