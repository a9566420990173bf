//! Lists who changed what.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::Timestamp;
use serde::Deserialize;
use storage::{AuditEntry, AuditFilter};
use utoipa::IntoParams;
use wire::{AuditEntryView, Listing};

use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::name_if_any;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_changes",
    method: Method::GET,
    path: "/v1/audit/changes",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// Which changes.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct ChangeQuery {
    /// Made by this person or tool.
    made_by: Option<String>,
    /// By this operation, as this document names it.
    operation: Option<String>,
    /// Of this record.
    #[param(format = Uuid)]
    about: Option<uuid::Uuid>,
    /// Made at this time or later.
    #[param(value_type = Option<String>, format = DateTime)]
    from: Option<Timestamp>,
    /// Made before this time.
    #[param(value_type = Option<String>, format = DateTime)]
    before: Option<Timestamp>,
}

/// List changes of the books, oldest first
///
/// One for each change that was accepted: who made it, as what, by which operation, and of which record. A request that
/// was sent again, or only rehearsed, changed nothing and is not listed.
#[utoipa::path(
    tag = "audit",
    operation_id = "list_changes",
    params(ChangeQuery, PageQuery),
    responses((status = 200, description = "A page of changes.", body = Listing<AuditEntryView>))
)]
#[get("/v1/audit/changes")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<ChangeQuery>,
) -> Result<Shown<Listing<AuditEntryView>>, Refusal> {
    let page = list.page()?;
    let query = &list.filter;
    let filter = AuditFilter {
        made_by: name_if_any("made_by", query.made_by.as_ref())?,
        operation: name_if_any("operation", query.operation.as_ref())?,
        about: query.about,
        from: query.from,
        before: query.before,
    };
    let entries = service.read(&member, async |books| Ok(books.audit_entries(&filter, page).await?)).await?;
    let items = entries.into_iter().map(view).collect();
    Ok(list.answer(items, |item: &AuditEntryView| item.audit_entry_id))
}

fn view(entry: AuditEntry) -> AuditEntryView {
    AuditEntryView {
        audit_entry_id: entry.id,
        operation: entry.operation,
        about: entry.about,
        made_by: entry.made.by,
        role: entry.role,
        made_at: entry.made.at,
        request_id: entry.request,
    }
}
