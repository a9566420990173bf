//! Holds volume against pay: by stage, contract by contract, and payee by payee.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use jiff::civil::Date;
use kernel::{ContractId, CrewId, JobId};
use serde::Deserialize;
use utoipa::IntoParams;
use wire::{Code, VolumeAgainstPay};

use crate::books::auditing::{Asked, audit};
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::parameters::{InQuery, check_span};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "audit_volume_against_pay",
    method: Method::GET,
    path: "/v1/audit/volume-against-pay",
    access: WHOLE_BOOKS_AND_MILL,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::NoShareSet, Code::NoHours, Code::TooLarge],
};

/// Which days, and which job, contract or crew.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct AuditQuery {
    /// The first day; the week it falls in counts whole.
    #[param(value_type = String, format = Date)]
    #[serde(deserialize_with = "wire::deserialize_day")]
    from: Date,
    /// The last day; the week it falls in counts whole.
    #[param(value_type = String, format = Date)]
    #[serde(deserialize_with = "wire::deserialize_day")]
    to: Date,
    /// Only contracts of this job.
    #[param(value_type = Option<String>, format = Uuid)]
    job_id: Option<JobId>,
    /// Only this contract, and the wood that it is about.
    #[param(value_type = Option<String>, format = Uuid)]
    contract_id: Option<ContractId>,
    /// Only contracts with this crew, and the pieces that it worked.
    #[param(value_type = Option<String>, format = Uuid)]
    crew_id: Option<CrewId>,
}

/// Hold volume against pay
///
/// For every contract that tickets of these days touch: the volume by product and species as that contract scales
/// it, and by rate what was earned, what was posted and what is still open. Beside it the wood at each stage (felled,
/// hewn, skidded, hauled, delivered), each row on one stated contract's scale; what each payee earned and was paid; and
/// the mill's side against the crews' with the cost of each task per thousand. Rows name in `made_of` where to find what
/// they are made of. A mill sees its own contracts only, and of the stages what was delivered to it.
#[utoipa::path(
    tag = "audit",
    operation_id = "audit_volume_against_pay",
    params(AuditQuery),
    responses((status = 200, description = "Volume against pay.", body = VolumeAgainstPay))
)]
#[get("/v1/audit/volume-against-pay")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<AuditQuery>,
) -> Result<Json<VolumeAgainstPay>, Refusal> {
    let AuditQuery { from, to, job_id, contract_id, crew_id } = query.0;
    check_span(Some(from), Some(to))?;
    let asked = Asked { from, to, job: job_id, contract: contract_id, crew: crew_id };
    let audited = service.read(&member, async |books| audit(books, &member, &asked).await).await?;
    Ok(Json(audited.view))
}
