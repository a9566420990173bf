//! Holds what mills owe for the wood against what crews earn on it.

use std::collections::HashMap;

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use jiff::civil::Date;
use kernel::JobId;
use serde::Deserialize;
use storage::{Page, WoodScope};
use utoipa::IntoParams;
use wire::{Code, Margin};

use crate::books::entitling::terms_by_id;
use crate::books::margin::{Naming, margin};
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::{InQuery, check_span};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "audit_margin",
    method: Method::GET,
    path: "/v1/audit/margin",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// Which days, and which job.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct MarginQuery {
    /// The first day on which the tickets were scaled.
    #[param(value_type = String, format = Date)]
    #[serde(deserialize_with = "wire::deserialize_day")]
    from: Date,
    /// The last day.
    #[param(value_type = String, format = Date)]
    #[serde(deserialize_with = "wire::deserialize_day")]
    to: Date,
    /// Only wood of this job.
    #[param(value_type = Option<String>, format = Uuid)]
    job_id: Option<JobId>,
}

/// Hold what mills owe against what crews earn on the same wood
///
/// For each job and mill, over the tickets scaled on these days: the wood on the mill's own scale and what the mill owes
/// for it, what crews earn on the same tickets by task, the margin, and the margin for a thousand board feet (or for a
/// hundred cubic feet, a cubic metre, a cord) of the mill's net scale. Sums are exact and rounded once, so they can
/// differ by cents from settlements, which round each week's lines.
#[utoipa::path(
    tag = "audit",
    operation_id = "audit_margin",
    params(MarginQuery),
    responses((status = 200, description = "The margin.", body = Margin))
)]
#[get("/v1/audit/margin")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<MarginQuery>,
) -> Result<Json<Margin>, Refusal> {
    let MarginQuery { from, to, job_id } = query.0;
    check_span(Some(from), Some(to))?;
    let shown = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            let wood = books.wood(WoodScope::of_days(from, to, job_id)).await?;
            let terms = terms_by_id(books, wood.accrued.iter().map(|one| one.terms)).await?;
            let jobs = books.jobs(Page { after: None, limit: u16::MAX }).await?;
            let jobs: HashMap<_, _> = jobs.into_iter().map(|job| (job.id, job.name)).collect();
            let names = Names::read(books).await?;
            margin(
                (from, to),
                &wood,
                &terms,
                outfit.currency,
                &Naming { names: &names, jobs: &jobs, crew: None },
            )
        })
        .await?;
    Ok(Json(shown))
}
