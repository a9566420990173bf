//! Lists hours.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use jiff::civil::Date;
use kernel::WorkerId;
use serde::Deserialize;
use storage::{TimeEntry, TimeFilter, TimeUse};
use utoipa::IntoParams;
use wire::{Listing, TimeEntryView, TimeFor, TimeState};

use crate::http::caller::Member;
use crate::http::listing::{InList, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_time",
    method: Method::GET,
    path: "/v1/time-entries",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// Which hours.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct TimeQuery {
    /// Of this worker.
    #[param(value_type = Option<String>, format = Uuid)]
    worker_id: Option<WorkerId>,
    /// Worked on this day or later.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    from: Option<Date>,
    /// Worked on this day or earlier.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    to: Option<Date>,
    /// `true`: only entries that count.
    standing: Option<bool>,
}

/// List hours, oldest filed first
///
/// Corrected entries are listed too, each with the one that took its place, unless `standing=true`.
#[utoipa::path(
    tag = "people",
    operation_id = "list_time",
    params(TimeQuery, PageQuery),
    responses((status = 200, description = "A page of entries.", body = Listing<TimeEntryView>))
)]
#[get("/v1/time-entries")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<TimeQuery>,
) -> Result<Shown<Listing<TimeEntryView>>, Refusal> {
    let query = &list.filter;
    let page = list.page()?;
    let filter = TimeFilter {
        worker: query.worker_id,
        from: query.from,
        to: query.to,
        standing_only: query.standing.unwrap_or(false),
    };
    let found = service
        .read(&member, async |books| Ok::<_, Refusal>(books.time_entries(filter, page).await?))
        .await?;
    let items = found.iter().map(view).collect();
    Ok(list.answer(items, |item: &TimeEntryView| item.time_entry_id))
}

/// Hours as they are shown.
pub fn view(entry: &TimeEntry) -> TimeEntryView {
    let state = match (entry.corrected_by, entry.hours) {
        (Some(_), _) => TimeState::Corrected,
        (None, None) => TimeState::Void,
        (None, Some(_)) => TimeState::Standing,
    };
    TimeEntryView {
        time_entry_id: entry.id,
        state,
        worker_id: entry.worker,
        worked_on: entry.worked_on,
        hours: entry.hours,
        what_for: match entry.what_for {
            TimeUse::PieceWork => TimeFor::PieceWork {},
            TimeUse::Rest => TimeFor::Rest {},
            TimeUse::Paid { job, crew, task } => TimeFor::Paid { job_id: job, crew_id: crew, task },
        },
        corrects: entry.corrects.as_ref().map(|correction| correction.of),
        correction_reason: entry.corrects.as_ref().map(|correction| correction.reason.clone()),
        corrected_by: entry.corrected_by,
        made_by: entry.made.by.clone(),
        made_at: entry.made.at,
    }
}
