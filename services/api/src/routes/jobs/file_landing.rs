//! Files a landing of a job.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::JobId;
use storage::Landing;
use wire::{Code, LandingCreate, LandingView};

use super::list::landing_view;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_landing",
    method: Method::POST,
    path: "/v1/jobs/{job_id}/landings",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NotFound, Code::NameTaken],
};

/// File a landing of a job
#[utoipa::path(
    tag = "places",
    operation_id = "file_landing",
    params(("job_id" = JobId, Path, description = "The job.")),
    request_body = LandingCreate,
    responses((status = 201, description = "Filed.", body = LandingView))
)]
#[post("/v1/jobs/{job_id}/landings")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    job: InPath<JobId>,
    body: Body<LandingCreate>,
) -> Result<HttpResponse, Refusal> {
    let landing = Landing {
        id: service.ids.make(),
        job: job.0,
        name: body.0.name.as_str().to_owned(),
        made: member.stamp(service.clock.as_ref()),
    };
    filing
        .keep(&service, &member, async |books| {
            if books.job(landing.job).await?.is_none() {
                return Err(Refusal::not_found("job", landing.job));
            }
            books.add_landing(&landing).await?;
            Ok(Kept::new(landing.id, landing_view(landing)))
        })
        .await
}
