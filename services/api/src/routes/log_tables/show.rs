//! Shows a version of one of the outfit's own tables, with its cells.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::LogTableId;
use scaling::FiledTable;
use storage::LogTableRecord;
use wire::{Code, LogTableEntry, LogTableView};

use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_log_table",
    method: Method::GET,
    path: "/v1/log-tables/{table_id}",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// Show one of the outfit's own log tables with its cells
#[utoipa::path(
    tag = "log tables",
    operation_id = "show_log_table",
    params(("table_id" = LogTableId, Path, description = "The version of the table.")),
    responses((status = 200, description = "The table.", body = LogTableView))
)]
#[get("/v1/log-tables/{table_id}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<LogTableId>,
) -> Result<Json<LogTableView>, Refusal> {
    let record = service
        .read(&member, async |books| {
            let found = books.log_table(id.0).await?;
            found.ok_or_else(|| Refusal::not_found("log table", id.0))
        })
        .await?;
    Ok(Json(view(record)))
}

/// A table as it is shown.
#[must_use]
pub fn view(record: LogTableRecord) -> LogTableView {
    let FiledTable { table_id, version, table } = record.table;
    let heading = table.heading();
    let entry = LogTableEntry {
        table_id,
        title: heading.title.to_string(),
        version,
        unit: heading.unit,
        filed_by: record.filed.by,
        filed_at: record.filed.at,
    };
    LogTableView { entry, falls: table.falls().to_vec(), document: table }
}
