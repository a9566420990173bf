//! Says whether the service can do its work.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use storage::StorageError;
use wire::{Code, FieldProblem, MigrationsView, Readiness};

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
    refusals: &[Code::NotReady],
};

/// Can the service do its work?
///
/// Asks the database whether it answers and has the shape that this version needs. Not ready is also who is about to
/// stop: requests are better sent elsewhere then. `errors` names each thing that is missing, by the member of this reply
/// that it stands in the way of.
#[utoipa::path(
    tag = "service",
    operation_id = "ready",
    responses((status = 200, description = "It can.", body = Readiness))
)]
#[get("/health/ready")]
pub async fn handle(service: Data<Service>) -> Result<Json<Readiness>, Refusal> {
    let mut missing = Vec::new();
    if service.running.is_draining() {
        missing.push(problem("#/status", "this instance is about to stop"));
    }
    let migrations = match service.store.migration_state().await {
        Ok(state) => MigrationsView { applied: state.applied, expected: state.expected, missing: state.missing },
        Err(error) => {
            missing.push(match &error {
                StorageError::Unavailable(_) => problem("#/database", "the database does not answer"),
                _ => problem("#/migrations", "the database does not tell which migrations it has"),
            });
            return Err(not_ready(missing, Some(error)));
        }
    };
    let lacking = migrations.missing.iter().map(|name| format!("the database lacks the migration {name}"));
    missing.extend(lacking.map(|says| problem("#/migrations/missing", says)));
    if missing.is_empty() {
        let ok = || "ok".to_owned();
        Ok(Json(Readiness { status: ok(), database: ok(), migrations }))
    } else {
        Err(not_ready(missing, None))
    }
}

fn problem(pointer: &str, detail: impl Into<String>) -> FieldProblem {
    FieldProblem { pointer: pointer.to_owned(), detail: detail.into() }
}

fn not_ready(missing: Vec<FieldProblem>, cause: Option<StorageError>) -> Refusal {
    let mut refusal = Refusal::new(Code::NotReady, "the service cannot do its work now").at(missing);
    refusal.cause = cause.map(Into::into);
    refusal.headers.push(("retry-after", "2".to_owned()));
    refusal
}
