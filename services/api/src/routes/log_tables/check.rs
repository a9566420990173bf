//! Says what is wrong with a table, without filing it.

use actix_web::http::Method;
use actix_web::post;
use actix_web::web::{Data, Json};
use scaling::{LogTable, TableRefused};
use wire::{LogTableCheck, LogTableCreate, TableFaultView};

use crate::books::own_tables::sheet;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "check_log_table",
    method: Method::POST,
    path: "/v1/log-table-checks",
    access: BOOKKEEPING,
    effect: Effect::None,
    refusals: &[],
};

/// Check a log table without filing it
///
/// Answers every fault and every place where the table gives less for a larger log, and keeps nothing.
#[utoipa::path(
    tag = "log tables",
    operation_id = "check_log_table",
    request_body = LogTableCreate,
    responses((status = 200, description = "What was found.", body = LogTableCheck))
)]
#[post("/v1/log-table-checks")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    body: Body<LogTableCreate>,
) -> Result<Json<LogTableCheck>, Refusal> {
    service.let_in(&member).await?;
    let LogTableCreate { heading, cells, acknowledged_falls } = body.0;
    let found = LogTable::read(heading, &sheet(&cells)?, acknowledged_falls);
    Ok(Json(match found {
        Ok(table) => LogTableCheck { can_be_filed: true, faults: Vec::new(), falls: table.falls().to_vec() },
        Err(TableRefused::Falls(falls)) => LogTableCheck { can_be_filed: false, faults: Vec::new(), falls },
        Err(TableRefused::Faults(faults)) => LogTableCheck {
            can_be_filed: false,
            faults: faults.iter().map(TableFaultView::from).collect(),
            falls: Vec::new(),
        },
    }))
}
