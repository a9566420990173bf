//! Counts the exceptions of some days by kind, and says what each kind is.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use jiff::civil::Date;
use kernel::JobId;
use serde::Deserialize;
use storage::ExceptionScope;
use utoipa::IntoParams;
use wire::{Code, ExceptionSummary};

use crate::books::exceptions::summary;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::{InQuery, check_span};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "summarize_exceptions",
    method: Method::GET,
    path: "/v1/audit/exceptions-by-kind",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// Which days, and which job.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct SummaryQuery {
    /// The first day on which the tickets were scaled.
    #[param(value_type = String, format = Date)]
    #[serde(deserialize_with = "wire::deserialize_day")]
    from: Date,
    /// The last day.
    #[param(value_type = String, format = Date)]
    #[serde(deserialize_with = "wire::deserialize_day")]
    to: Date,
    /// Only of this job.
    #[param(value_type = Option<String>, format = Uuid)]
    job_id: Option<JobId>,
}

/// Count exceptions by kind
///
/// Every kind with what it means, how it is found and what to do about one, and how many there are of these days; and what
/// could not be judged because there is too little of it.
#[utoipa::path(
    tag = "audit",
    operation_id = "summarize_exceptions",
    params(SummaryQuery),
    responses((status = 200, description = "The counts.", body = ExceptionSummary))
)]
#[get("/v1/audit/exceptions-by-kind")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<SummaryQuery>,
) -> Result<Json<ExceptionSummary>, Refusal> {
    let SummaryQuery { from, to, job_id } = query.0;
    check_span(Some(from), Some(to))?;
    let scope = ExceptionScope { from, to, job: job_id };
    let found = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            summary(books, &outfit, scope).await
        })
        .await?;
    Ok(Json(found))
}
