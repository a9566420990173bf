//! The audit as one report: JSON, rows for a spreadsheet, or one page to print.
//!
//! [`compose`] is the one place where its sections come together; each has a file of its own that works it out. The rows
//! ([`rows`]) and the page ([`papers::report()`]) are made from the finished report alone, so that all three say the same.

pub mod check_scales;
pub mod defect;
pub mod notes;
pub mod rows;
pub mod volume;

use jiff::civil::Date;
use storage::{Books, ExceptionScope, Page};
use wire::{AuditReport, VolumeAgainstPay};

use crate::books::auditing::{Asked, Scope, audit, margin_by_week};
use crate::books::exceptions::summary;
use crate::http::caller::Member;
use crate::http::refusal::Refusal;

/// Puts the report together for a member; `now` is the moment of asking.
///
/// # Errors
///
/// What [`audit()`] answers; [`wire::Code::NotFound`] for a job that is not in the books.
pub async fn compose(
    books: &mut Books,
    member: &Member,
    asked: &Asked,
    now: jiff::Timestamp,
) -> Result<AuditReport, Refusal> {
    let job_name = match asked.job {
        None => None,
        Some(job) => {
            let jobs = books.jobs(Page { after: None, limit: u16::MAX }).await?;
            let found = jobs.into_iter().find(|one| one.id == job);
            Some(found.ok_or_else(|| Refusal::not_found("job", job))?.name)
        }
    };
    let mut audited = audit(books, member, asked).await?;
    let cost_by_week = match member.mill {
        Some(_) => Vec::new(),
        None => margin_by_week(books, &audited).await?,
    };
    let Scope { from, to, job, .. } = audited.scope;
    let exceptions = match member.mill {
        Some(_) => None,
        None => Some(summary(books, &audited.outfit, ExceptionScope { from, to, job }).await?),
    };
    let (check_scales, further_check_scales) = check_scales::latest(books, audited.scope).await?;
    let made_on: Date = now.to_zoned(audited.outfit.time_zone.clone()).date();
    Ok(AuditReport {
        outfit_name: audited.outfit.name.clone(),
        job_name,
        from: audited.view.from,
        to: audited.view.to,
        made_on,
        made_for: member.subject.clone(),
        role: member.role,
        currency: audited.outfit.currency,
        volume_by_week: volume::by_week(&audited.view.weeks)?,
        cost_by_week,
        defect_by_scaler: defect::by_scaler(&audited)?,
        margin: audited.view.margin.take(),
        volume_against_pay: VolumeAgainstPay { weeks: Vec::new(), ..audited.view },
        exceptions,
        check_scales,
        further_check_scales,
        notes: notes::notes(),
    })
}
