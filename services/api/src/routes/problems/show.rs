//! Describes a problem code: what problem documents point to.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Json;
use wire::{Code, ProblemDescription};

use crate::http::operation::{Access, Effect, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_problem",
    method: Method::GET,
    path: "/problems/{code}",
    access: Access::Open,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// What a problem code means
#[utoipa::path(
    tag = "service",
    operation_id = "show_problem",
    params(("code" = String, Path, description = "The code, such as `ticket-differs`.")),
    responses((status = 200, description = "The code's meaning.", body = ProblemDescription))
)]
#[get("/problems/{code}")]
pub async fn handle(code: InPath<String>) -> Result<Json<ProblemDescription>, Refusal> {
    let found = Code::ALL.iter().find(|known| known.text() == code.0);
    let code = found.copied().ok_or_else(|| Refusal::not_found("problem code", code.0))?;
    Ok(Json(ProblemDescription {
        code,
        status: code.status(),
        title: code.title().to_owned(),
        advice: code.advice().to_owned(),
    }))
}
