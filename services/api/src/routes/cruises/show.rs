//! Shows a cruise with what it says of the tract.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use audit::Confidence;
use kernel::{CruiseId, Fixed};
use scaling::Percent;
use serde::Deserialize;
use utoipa::IntoParams;
use wire::{Code, CruiseView};

use crate::books::outside::cruising::{Asked, view};
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::{InPath, InQuery};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_cruise",
    method: Method::GET,
    path: "/v1/cruises/{cruise_id}",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// What is asked about the estimate.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct EstimateQuery {
    /// How sure the interval is to be: `ninety`, `ninety_five` or `ninety_nine`. Ninety-five when left out.
    #[param(inline)]
    confidence: Option<Confidence>,
    /// An error that would be allowed, in percent of the estimate: the answer then says how many plots it would take.
    #[param(value_type = Option<String>)]
    allowed_percent: Option<Percent>,
}

/// Show a cruise with what it says of the tract
///
/// The volume of every line of trees with how it came about, and the estimate by species and in all. The plots are what was
/// sampled; a plot without a species holds none of it.
#[utoipa::path(
    tag = "audit",
    operation_id = "show_cruise",
    params(("cruise_id" = CruiseId, Path, description = "The cruise."), EstimateQuery),
    responses((status = 200, description = "The cruise.", body = CruiseView))
)]
#[get("/v1/cruises/{cruise_id}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<CruiseId>,
    query: InQuery<EstimateQuery>,
) -> Result<Json<CruiseView>, Refusal> {
    let EstimateQuery { confidence, allowed_percent } = query.0;
    let allowed_percent: Option<Fixed> = allowed_percent.map(Percent::fixed);
    let asked = Asked { confidence: confidence.unwrap_or_default(), allowed_percent };
    let (found, job) = service
        .read(&member, async |books| {
            let found = books.cruise(id.0).await?.ok_or_else(|| Refusal::not_found("cruise", id.0))?;
            let job = books.job(found.cruise.job).await?.map(|job| job.name).unwrap_or_default();
            Ok::<_, Refusal>((found, job))
        })
        .await?;
    view(found, job, asked).map(Json)
}
