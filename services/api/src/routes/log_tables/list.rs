//! Lists the versions of the outfit's own tables.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use wire::{Listing, LogTableEntry};

use crate::http::caller::Member;
use crate::http::listing::{InList, NoFilter, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_log_tables",
    method: Method::GET,
    path: "/v1/log-tables",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// List the outfit's own log tables
///
/// Every version of every table, without the cells. A mill finds the tables of its contracts whole in their terms.
#[utoipa::path(
    tag = "log tables",
    operation_id = "list_log_tables",
    params(PageQuery),
    responses((status = 200, description = "A page of tables, oldest first.", body = Listing<LogTableEntry>))
)]
#[get("/v1/log-tables")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<NoFilter>,
) -> Result<Shown<Listing<LogTableEntry>>, Refusal> {
    let page = list.page()?;
    let entries =
        service.read(&member, async |books| Ok::<_, Refusal>(books.log_tables(page).await?)).await?;
    let items = entries.into_iter().map(entry).collect();
    Ok(list.answer(items, |item: &LogTableEntry| item.table_id))
}

fn entry(stored: storage::LogTableEntry) -> LogTableEntry {
    LogTableEntry {
        table_id: stored.id,
        title: stored.title,
        version: stored.version,
        unit: stored.unit,
        filed_by: stored.filed.by,
        filed_at: stored.filed.at,
    }
}
