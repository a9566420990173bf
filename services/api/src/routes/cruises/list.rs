//! Lists cruises.

use std::collections::HashMap;

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use kernel::JobId;
use serde::Deserialize;
use storage::{CruiseFilter, Page};
use utoipa::IntoParams;
use wire::{CruiseSummary, Listing};

use crate::books::outside::cruising::summary;
use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::check_span;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_cruises",
    method: Method::GET,
    path: "/v1/cruises",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// Which cruises.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct CruiseQuery {
    /// Of this job.
    #[param(value_type = Option<String>, format = Uuid)]
    job_id: Option<JobId>,
    /// Done on this day or later.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    from: Option<Date>,
    /// Done on this day or earlier.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    to: Option<Date>,
    /// Only those that were not taken back.
    standing: Option<bool>,
}

/// List cruises without their trees, oldest filed first
#[utoipa::path(
    tag = "audit",
    operation_id = "list_cruises",
    params(CruiseQuery, PageQuery),
    responses((status = 200, description = "A page of cruises.", body = Listing<CruiseSummary>))
)]
#[get("/v1/cruises")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<CruiseQuery>,
) -> Result<Shown<Listing<CruiseSummary>>, Refusal> {
    let page = list.page()?;
    let CruiseQuery { job_id, from, to, standing } = list.filter;
    check_span(from, to)?;
    let filter = CruiseFilter { job: job_id, from, to, standing: standing.unwrap_or(false) };
    let items = service
        .read(&member, async |books| {
            let jobs = books.jobs(Page::first(u16::MAX)).await?;
            let jobs: HashMap<_, _> = jobs.into_iter().map(|job| (job.id, job.name)).collect();
            let found = books.cruises(filter, page).await?;
            let name = |job: &JobId| jobs.get(job).cloned().unwrap_or_default();
            Ok::<Vec<_>, Refusal>(found.iter().map(|one| summary(one, name(&one.cruise.job))).collect())
        })
        .await?;
    Ok(list.answer(items, |item: &CruiseSummary| item.cruise_id))
}
