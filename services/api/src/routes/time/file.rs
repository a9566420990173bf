//! Files hours of a worker.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use jiff::civil::Date;
use kernel::{CrewId, Exact, WorkerId};
use storage::{Books, Page, TimeCorrection, TimeEntry, TimeFilter, TimeUse};
use wire::{Code, FieldProblem, TimeEntryCreate, TimeEntryView, TimeFor};

use super::list::view;
use crate::books::sharing::share_set_on;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_time",
    method: Method::POST,
    path: "/v1/time-entries",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord, Code::TimeInconsistent, Code::TimeCorrected],
};

/// A hundredth of an hour, in millionths. Hours are no finer, so that a week of odd hours still divides a crew's pay
/// exactly in the numbers that can be held.
const STEP: i64 = 10_000;

/// The hours of a day.
const DAY: i64 = 24;

/// File hours of a worker
///
/// Hours of piece work and of rest are kept for the week's wages and for crews that share by hours; hours that are paid
/// by time also earn pay under the crew's contract. A wrong entry is corrected by a new one that names it; what that
/// changes in weeks already posted comes as an adjustment in the open week.
#[utoipa::path(
    tag = "people",
    operation_id = "file_time",
    request_body = TimeEntryCreate,
    responses((status = 201, description = "Filed.", body = TimeEntryView))
)]
#[post("/v1/time-entries")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<TimeEntryCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    filing
        .keep(&service, &member, async |books| {
            // A day's hours are added up, and no two may be let in on the same sum.
            books.close_to_others(&service.ids).await?;
            let entry = record(&sent, &service, &member);
            let today = own(books).await?.time_zone.to_datetime(service.clock.now()).date();
            check(books, &entry, today).await?;
            books.add_time_entry(&entry).await?;
            Ok(Kept::new(entry.id, view(&entry)))
        })
        .await
}

/// The entry, with an id that is made while the books are held: ids tell what was filed before a week was posted.
fn record(sent: &TimeEntryCreate, service: &Service, member: &Member) -> TimeEntry {
    TimeEntry {
        id: service.ids.make(),
        worker: sent.worker_id,
        worked_on: sent.worked_on,
        hours: sent.hours,
        what_for: read_use(sent.what_for),
        corrects: sent.corrects.as_ref().map(|correction| TimeCorrection {
            of: correction.time_entry_id,
            reason: correction.reason.as_str().to_owned(),
        }),
        made: member.stamp(service.clock.as_ref()),
        corrected_by: None,
    }
}

const fn read_use(sent: TimeFor) -> TimeUse {
    match sent {
        TimeFor::PieceWork {} => TimeUse::PieceWork,
        TimeFor::Rest {} => TimeUse::Rest,
        TimeFor::Paid { job_id, crew_id, task } => TimeUse::Paid { job: job_id, crew: crew_id, task },
    }
}

fn inconsistent(pointer: &str, detail: String) -> Refusal {
    let problem = FieldProblem { pointer: pointer.to_owned(), detail: detail.clone() };
    Refusal::new(Code::TimeInconsistent, detail).at(vec![problem])
}

async fn check(books: &mut Books, entry: &TimeEntry, today: Date) -> Result<(), Refusal> {
    if entry.worked_on > today {
        let detail = format!("{} is still to come; today is {today}", entry.worked_on);
        return Err(inconsistent("#/worked_on", detail));
    }
    if entry.hours.is_none() && entry.corrects.is_none() {
        return Err(inconsistent("#/hours", "only a correction may have no hours".to_owned()));
    }
    if entry.hours.is_some_and(|hours| hours.fixed().millionths() % STEP != 0) {
        return Err(inconsistent(
            "#/hours",
            "hours are kept to the hundredth: write two decimals at most".to_owned(),
        ));
    }
    if let Some(correction) = &entry.corrects {
        let wrong = books.time_entry(correction.of).await?.ok_or_else(|| {
            let detail = format!("there is no time entry {}", correction.of);
            Refusal::new(Code::NamesMissingRecord, detail)
        })?;
        if let Some(by) = wrong.corrected_by {
            return Err(Refusal::new(Code::TimeCorrected, format!("entry {by} took the place of this one")));
        }
    }
    if entry.hours.is_none() {
        return Ok(());
    }
    if let TimeUse::Paid { crew, .. } = entry.what_for {
        check_member(books, crew, entry.worker, entry.worked_on).await?;
    }
    check_day(books, entry).await
}

/// Pay by time goes to members of the crew alone.
async fn check_member(books: &mut Books, crew: CrewId, worker: WorkerId, day: Date) -> Result<(), Refusal> {
    if books.crew(crew).await?.is_none() {
        return Err(Refusal::new(Code::NamesMissingRecord, format!("there is no crew {crew}")));
    }
    let sets = books.share_sets(Some(crew)).await?;
    let is_member = share_set_on(&sets, crew, day)
        .is_some_and(|set| set.shares.iter().any(|share| share.worker == worker));
    if is_member {
        return Ok(());
    }
    // Somebody whom the outfit does not know is missing, not merely no member.
    if books.worker(worker).await?.is_none() {
        return Err(Refusal::new(Code::NamesMissingRecord, format!("there is no worker {worker}")));
    }
    let detail = format!("the crew's division of pay on {day} does not name the worker: file one that does");
    Err(inconsistent("#/what_for/crew_id", detail))
}

/// Nobody works more hours than a day has.
async fn check_day(books: &mut Books, entry: &TimeEntry) -> Result<(), Refusal> {
    let day = Some(entry.worked_on);
    let filter = TimeFilter { worker: Some(entry.worker), from: day, to: day, standing_only: true };
    let standing = books.time_entries(filter, Page { after: None, limit: u16::MAX }).await?;
    let replaced = entry.corrects.as_ref().map(|correction| correction.of);
    let kept = standing.iter().filter(|one| Some(one.id) != replaced).filter_map(|one| one.hours);
    let mut sum = Exact::ZERO;
    for hours in kept.chain(entry.hours) {
        sum = sum.plus(hours.exact())?;
    }
    if sum > Exact::of(DAY.into()) {
        let detail = format!("{sum} hours of one worker on {}: a day has {DAY}", entry.worked_on);
        return Err(inconsistent("#/hours", detail));
    }
    Ok(())
}
