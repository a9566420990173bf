//! Files a job.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::JobId;
use wire::{Code, JobCreate, JobView};

use super::list::view;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_job",
    method: Method::POST,
    path: "/v1/jobs",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
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
    filing: Filing,
    body: Body<JobCreate>,
) -> Result<HttpResponse, Refusal> {
    let id: JobId = service.ids.make();
    let stamp = member.stamp(service.clock.as_ref());
    filing
        .keep(&service, &member, async |books| {
            books.add_job(id, body.0.name.as_str(), &stamp).await?;
            let filed = books.job(id).await?.ok_or_else(|| Refusal::not_found("job", id))?;
            Ok(Kept::new(id, view(filed, Vec::new())))
        })
        .await
}
