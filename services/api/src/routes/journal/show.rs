//! Shows one entry of the journal.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::JournalEntryId;
use storage::{JournalFilter, Page};
use wire::{Code, JournalEntryView};

use super::list::view;
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_journal_entry",
    method: Method::GET,
    path: "/v1/journal/entries/{journal_entry_id}",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// Show an entry of the journal
#[utoipa::path(
    tag = "journal",
    operation_id = "show_journal_entry",
    params(("journal_entry_id" = JournalEntryId, Path, description = "The entry.")),
    responses((status = 200, description = "The entry with all its postings.", body = JournalEntryView))
)]
#[get("/v1/journal/entries/{journal_entry_id}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<JournalEntryId>,
) -> Result<Json<JournalEntryView>, Refusal> {
    let shown = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            let filter = JournalFilter { entry: Some(id.0), ..JournalFilter::default() };
            let found = books.journal(&filter, Page { after: None, limit: 1 }).await?.pop();
            let entry = found.ok_or_else(|| Refusal::not_found("journal entry", id.0))?;
            view(entry, outfit.currency, &Names::read(books).await?)
        })
        .await?;
    Ok(Json(shown))
}
