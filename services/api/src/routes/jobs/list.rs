//! Lists the outfit's jobs with their landings.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use kernel::JobId;
use storage::{Landing, Named};
use wire::{JobView, LandingView, Listing};

use crate::http::caller::Member;
use crate::http::listing::{InList, NoFilter, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, YARD_AND_BOOKS};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_jobs",
    method: Method::GET,
    path: "/v1/jobs",
    access: YARD_AND_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// List the jobs and their landings
#[utoipa::path(
    tag = "places",
    operation_id = "list_jobs",
    params(PageQuery),
    responses((status = 200, description = "A page of jobs, oldest first.", body = Listing<JobView>))
)]
#[get("/v1/jobs")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<NoFilter>,
) -> Result<Shown<Listing<JobView>>, Refusal> {
    let page = list.page()?;
    let items = service
        .read(&member, async |books| {
            let mut items = Vec::new();
            for job in books.jobs(page).await? {
                let landings = books.landings(job.id).await?.into_iter().map(landing_view).collect();
                items.push(view(job, landings));
            }
            Ok::<_, Refusal>(items)
        })
        .await?;
    Ok(list.answer(items, |item: &JobView| item.job_id))
}

/// A job as it is shown.
pub fn view(job: Named<JobId>, landings: Vec<LandingView>) -> JobView {
    JobView { job_id: job.id, name: job.name, made_at: job.made.at, landings }
}

/// A landing as it is shown.
pub fn landing_view(landing: Landing) -> LandingView {
    LandingView { landing_id: landing.id, job_id: landing.job, name: landing.name, made_at: landing.made.at }
}
