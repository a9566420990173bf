//! Files a job.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::JobId;
use wire::{Code, JobCreate, JobView};

use super::list::view;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::operation::{BOOKKEEPING, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_job",
    method: Method::POST,
    path: "/v1/jobs",
    access: BOOKKEEPING,
    refusals: &[Code::NameTaken],
};

/// File a job
#[utoipa::path(
    tag = "places",
    operation_id = "file_job",
    request_body = JobCreate,
    responses((status = 201, description = "Filed.", body = JobView))
)]
#[post("/v1/jobs")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    body: Body<JobCreate>,
) -> Result<HttpResponse, Refusal> {
    let id: JobId = service.ids.make();
    let stamp = member.stamp(service.clock.as_ref());
    let filed = service.write(&member, async |books| {
            books.add_job(id, body.0.name.as_str(), &stamp).await?;
            books.job(id).await?.ok_or_else(|| Refusal::not_found("job", id))
        })
        .await?;
    Ok(HttpResponse::Created().json(view(filed, Vec::new())))
}
