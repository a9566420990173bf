//! Says that the service runs.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Json;
use wire::Health;

use crate::http::operation::{Access, Effect, Operation};

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "live",
    method: Method::GET,
    path: "/health/live",
    access: Access::Open,
    effect: Effect::None,
    refusals: &[],
};

/// Does the service run?
#[utoipa::path(
    tag = "service",
    operation_id = "live",
    responses((status = 200, description = "It runs.", body = Health))
)]
#[get("/health/live")]
pub async fn handle() -> Json<Health> {
    Json(Health { status: "ok".to_owned() })
}
