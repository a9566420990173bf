//! Holds what was cut against what a cruise expected.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use audit::Confidence;
use jiff::civil::Date;
use kernel::{ContractId, CruiseId};
use serde::Deserialize;
use utoipa::IntoParams;
use wire::{Code, CutOutAudit};

use crate::books::outside::cruising::Asked;
use crate::books::outside::cut_out::audit;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::{InQuery, check_span};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "audit_cut_out",
    method: Method::GET,
    path: "/v1/audit/cut-out",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// Which cruise, and on which contract's scale.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct CutOutQuery {
    /// The cruise.
    #[param(value_type = String, format = Uuid)]
    cruise_id: CruiseId,
    /// A contract of the same job: on its scale the cut stands.
    #[param(value_type = String, format = Uuid)]
    contract_id: ContractId,
    /// The last day whose tickets are counted. The first is the day of the cruise.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    to: Option<Date>,
    /// How sure the interval is to be: `ninety`, `ninety_five` or `ninety_nine`. Ninety-five when left out.
    #[param(inline)]
    confidence: Option<Confidence>,
}

/// Hold what was cut against what a cruise expected
///
/// The logs on standing tickets of the job, scaled from the day of the cruise on, by species on one contract's scale, beside
/// the estimate: the difference, whether it lies within the interval, and what would still stand if the cut is not finished.
/// Both must be in one unit. Where the contract's rule is not the one that the cruise was reckoned by, the answer says so.
#[utoipa::path(
    tag = "audit",
    operation_id = "audit_cut_out",
    params(CutOutQuery),
    responses((status = 200, description = "The cut beside the estimate.", body = CutOutAudit))
)]
#[get("/v1/audit/cut-out")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<CutOutQuery>,
) -> Result<Json<CutOutAudit>, Refusal> {
    let CutOutQuery { cruise_id, contract_id, to, confidence } = query.0;
    let asked = Asked { confidence: confidence.unwrap_or_default(), allowed_percent: None };
    let shown = service
        .read(&member, async |books| {
            let cruise = books.cruise(cruise_id).await?;
            let cruise = cruise.ok_or_else(|| Refusal::not_found("cruise", cruise_id))?;
            let contract = books.contract(contract_id).await?;
            let contract = contract.ok_or_else(|| Refusal::not_found("contract", contract_id))?;
            if contract.job != cruise.cruise.job {
                let says = "the contract is of another job than the cruise: name one of the same job";
                return Err(Refusal::new(Code::WrongAddress, says));
            }
            check_span(Some(cruise.cruise.cruised_on), to)?;
            audit(books, cruise, contract, to, asked).await
        })
        .await?;
    Ok(Json(shown))
}
