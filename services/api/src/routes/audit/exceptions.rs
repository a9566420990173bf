//! Lists the exceptions of some days.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use kernel::JobId;
use serde::Deserialize;
use storage::ExceptionScope;
use utoipa::IntoParams;
use wire::{Code, ExceptionKind, ExceptionView, Listing};

use crate::books::exceptions::exceptions;
use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::check_span;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_exceptions",
    method: Method::GET,
    path: "/v1/audit/exceptions",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// Which days, which job, which kind.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct ExceptionQuery {
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
    /// Only of this kind.
    #[param(inline)]
    kind: Option<ExceptionKind>,
}

/// List exceptions
///
/// What the books hold of these days that an auditor would stop at, each with its tickets and figures: sticks paid twice or
/// never, more skidded than felled, logs that were hewn and paid as logs, turns without a ticket, gaps and repeats in
/// scale books, what is unpriced or set aside, what came late or was corrected after posting and by whom, and volumes and
/// hewn pieces that stand out. By kind, day and ticket; `summarize_exceptions` tells what each kind means. Everything is
/// found anew each time, and nothing is held up by it.
#[utoipa::path(
    tag = "audit",
    operation_id = "list_exceptions",
    params(ExceptionQuery, PageQuery),
    responses((status = 200, description = "A page of exceptions.", body = Listing<ExceptionView>))
)]
#[get("/v1/audit/exceptions")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<ExceptionQuery>,
) -> Result<Shown<Listing<ExceptionView>>, Refusal> {
    let (after, limit) = list.page_by_text()?;
    let ExceptionQuery { from, to, job_id, kind } = list.filter;
    check_span(Some(from), Some(to))?;
    let scope = ExceptionScope { from, to, job: job_id };
    let found = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            exceptions(books, &outfit, scope, kind).await
        })
        .await?;
    let begin = after.unwrap_or_default();
    let items = found
        .listed
        .into_iter()
        .filter(|one| one.place > begin)
        .take(limit.into())
        .map(|one| (one.place, one.view))
        .collect();
    Ok(list.answer_beside_text(items))
}
