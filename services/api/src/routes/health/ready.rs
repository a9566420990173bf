//! Says whether the service can do its work.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use storage::StorageError;
use wire::{Code, FieldProblem, MigrationsView, Readiness, ReplicaView};

use crate::http::operation::{Access, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::running::reading::view;
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
/// that it stands in the way of. An instance that only reads tells how far it has come behind the books.
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
        Ok(state) => {
            MigrationsView { applied: state.applied, expected: state.expected, missing: state.missing }
        }
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
    let replica = match how_old(&service).await {
        Ok(replica) => replica,
        Err(Trouble::Follows) => {
            missing.push(problem("#/database", "the database follows another one and takes no changes"));
            None
        }
        Err(Trouble::Storage(error)) => return Err(not_ready(missing, Some(error))),
    };
    if missing.is_empty() {
        let ok = || "ok".to_owned();
        Ok(Json(Readiness { status: ok(), database: ok(), migrations, replica }))
    } else {
        Err(not_ready(missing, None))
    }
}

/// What stands in the way of telling how old the books are.
enum Trouble {
    /// The instance keeps books and has a database that cannot.
    Follows,
    Storage(StorageError),
}

/// How far the books are behind, where the instance only reads.
async fn how_old(service: &Service) -> Result<Option<ReplicaView>, Trouble> {
    match &service.running.reading {
        Some(reading) => {
            let state = reading.state(&service.store).await.map_err(Trouble::Storage)?;
            Ok(Some(view(&state, service.clock.now())))
        }
        None if service.store.replica_state().await.map_err(Trouble::Storage)?.follows => {
            Err(Trouble::Follows)
        }
        None => Ok(None),
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
