//! Says whether the service can do its work.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};

use wire::Health;

use crate::http::operation::{Effect, Access, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "ready",
    method: Method::GET,
    path: "/health/ready",
    access: Access::Open,
    effect: Effect::None,
    refusals: &[],
};

/// Can the service do its work?
///
/// Asks the database something small.
#[utoipa::path(
    tag = "service",
    operation_id = "ready",
    responses((status = 200, description = "It can.", body = Health))
)]
#[get("/health/ready")]
pub async fn handle(service: Data<Service>) -> Result<Json<Health>, Refusal> {
    service.store.ping().await?;
    Ok(Json(Health { status: "ok".to_owned() }))
}
