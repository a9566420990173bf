//! Files one of the outfit's own log rules as a table.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use storage::LogTableFiling;
use wire::{Code, LogTableCreate, LogTableView};

use super::show::view;
use crate::books::fingerprint::fingerprint;
use crate::books::own_tables::table;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_log_table",
    method: Method::POST,
    path: "/v1/log-tables",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::FallsNotAcknowledged, Code::TableFaulty],
};

/// File one of the outfit's own log rules as a table
///
/// The cells come as lists, or as the text of a file of comma-separated values in the member `csv`: the first row holds
/// the lengths, the first column the diameters. A table is refused with every fault it has: an empty or unreadable
/// cell, a row or column missing in an otherwise even step, sizes that do not grow. One that gives less for a larger
/// log is refused until that is acknowledged. Another table under the same title is the next version; the same one again
/// is answered 200 with the header `Replayed: true`, as it was filed. A filed table is never edited: terms name it by its
/// id and hold it whole.
#[utoipa::path(
    tag = "log tables",
    operation_id = "file_log_table",
    request_body = LogTableCreate,
    responses(
        (status = 201, description = "Filed.", body = LogTableView),
        (status = 200, description = "The same table is filed under this title already.", body = LogTableView,
         headers(("Replayed" = String, description = "Always `true`.")))
    )
)]
#[post("/v1/log-tables")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<LogTableCreate>,
) -> Result<HttpResponse, Refusal> {
    let table = table(&body.0)?;
    let filed = LogTableFiling {
        id: service.ids.make(),
        fingerprint: fingerprint(&table)?,
        table,
        filed: member.stamp(service.clock.as_ref()),
    };
    filing
        .keep(&service, &member, async |books| {
            // Two of one title must not take the same version.
            books.close_to_others(&service.ids).await?;
            let (new, record) = books.file_log_table(&filed).await?;
            Ok(Kept::new_if(new, record.table.table_id, view(record)))
        })
        .await
}
