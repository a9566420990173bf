//! Holds mill tallies against the scale of their logs.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use jiff::civil::Date;
use kernel::{JobId, MillId};
use serde::Deserialize;
use storage::TallyScope;
use utoipa::IntoParams;
use wire::{Code, OverrunAudit};

use crate::books::outside::overrun::audit;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::parameters::{InQuery, check_span};
use crate::http::refusal::Refusal;
use crate::routes::mill_tallies::list::seen_by;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "audit_overrun",
    method: Method::GET,
    path: "/v1/audit/overrun",
    access: WHOLE_BOOKS_AND_MILL,
    effect: Effect::None,
    refusals: &[Code::TooLarge],
};

/// Which days, which mill, and which job.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct OverrunQuery {
    /// The first day; a tally counts whole when its days reach to it or past it.
    #[param(value_type = String, format = Date)]
    #[serde(deserialize_with = "wire::deserialize_day")]
    from: Date,
    /// The last day; a tally counts whole when its days begin on it or before it.
    #[param(value_type = String, format = Date)]
    #[serde(deserialize_with = "wire::deserialize_day")]
    to: Date,
    /// Only tallies of this mill.
    #[param(value_type = Option<String>, format = Uuid)]
    mill_id: Option<MillId>,
    /// Only tallies of this job alone.
    #[param(value_type = Option<String>, format = Uuid)]
    job_id: Option<JobId>,
}

/// Hold what mills sawed against the scale of the logs
///
/// For each standing tally: the scale, under the mill's own contracts, of the logs that were delivered to the mill and scaled
/// on the tally's days, and the overrun on the gross scale and on the net scale, in all and by species where the tally has
/// them. Every figure names its base, its rule, its unit and the state of the lumber. Nothing is computed across units or
/// rules: the answer says why not, what was left out, and what became of the tickets since the tally was filed. A mill sees
/// its own.
#[utoipa::path(
    tag = "audit",
    operation_id = "audit_overrun",
    params(OverrunQuery),
    responses((status = 200, description = "The overrun.", body = OverrunAudit))
)]
#[get("/v1/audit/overrun")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<OverrunQuery>,
) -> Result<Json<OverrunAudit>, Refusal> {
    let OverrunQuery { from, to, mill_id, job_id } = query.0;
    check_span(Some(from), Some(to))?;
    let mill = seen_by(&member, mill_id);
    let shown = service
        .read(&member, async |books| {
            let scope = TallyScope { from, to, mill: mill.flatten(), job: job_id };
            let mut shown = audit(books, scope).await?;
            if mill.is_none() {
                shown.rows.clear();
            }
            Ok::<_, Refusal>(shown)
        })
        .await?;
    Ok(Json(shown))
}
