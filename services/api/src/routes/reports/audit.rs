//! Draws the audit up as one report.

use actix_web::http::Method;
use actix_web::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use actix_web::web::Data;
use actix_web::{HttpResponse, get};
use jiff::civil::Date;
use kernel::JobId;
use serde::Deserialize;
use utoipa::IntoParams;
use wire::{AuditReport, Code, PaperSize, ReportFormat, ReportSection};

use crate::books::auditing::Asked;
use crate::http::caller::Member;
use crate::http::comma_separated;
use crate::http::on_paper;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::parameters::{InQuery, check_span};
use crate::http::refusal::Refusal;
use crate::reports::{compose, rows};
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "report_audit",
    method: Method::GET,
    path: "/v1/reports/audit",
    access: WHOLE_BOOKS_AND_MILL,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::NoShareSet, Code::NoHours, Code::TooLarge],
};

/// Which days, which job, and in which form.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct ReportQuery {
    /// The first day; the week it falls in counts whole.
    #[param(value_type = String, format = Date)]
    #[serde(deserialize_with = "wire::deserialize_day")]
    from: Date,
    /// The last day; the week it falls in counts whole.
    #[param(value_type = String, format = Date)]
    #[serde(deserialize_with = "wire::deserialize_day")]
    to: Date,
    /// Only this job.
    #[param(value_type = Option<String>, format = Uuid)]
    job_id: Option<JobId>,
    /// In which form: `json` when it is left out, `csv`, `html`, or `pdf`.
    #[param(inline)]
    format: Option<ReportFormat>,
    /// With `pdf`: on which paper, `letter` when it is left out, or `a4`.
    #[param(inline)]
    paper: Option<PaperSize>,
    /// With `csv`: only the rows of this section.
    #[param(inline)]
    section: Option<ReportSection>,
}

/// Report volume, cost, defect and pay over some weeks
///
/// Volume by week and stage, the cost of each task per thousand by week, what defect took by scaler, the latest check scales,
/// the margin, volume against pay, and exceptions by kind. As `html` it is one page to read and to print: it needs no network and runs no script, and every chart is
/// followed by its figures as a table; as `pdf` it is the same on pages. As `csv` it is one long table with a column `section` and the same columns for every
/// section, those that do not apply being empty. A mill gets its own side: what was delivered to it, as its contract scales
/// it, check scales of its own contracts, and what it owes.
#[utoipa::path(
    tag = "audit",
    operation_id = "report_audit",
    params(ReportQuery),
    responses((status = 200, description = "The report, in the form that was asked for.",
               content((AuditReport = "application/json"), (String = "text/csv"), (String = "text/html"), (String = "application/pdf"))))
)]
#[get("/v1/reports/audit")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<ReportQuery>,
) -> Result<HttpResponse, Refusal> {
    let ReportQuery { from, to, job_id, format, paper, section } = query.0;
    check_span(Some(from), Some(to))?;
    let format = format.unwrap_or_default();
    if section.is_some() && format != ReportFormat::Csv {
        let says = "`section` goes with `format=csv`: leave it out, the other forms come whole";
        return Err(Refusal::new(Code::WrongAddress, says));
    }
    if paper.is_some() && format != ReportFormat::Pdf {
        let says = "`paper` goes with `format=pdf`: leave it out, the other forms have no pages";
        return Err(Refusal::new(Code::WrongAddress, says));
    }
    let asked = Asked { from, to, job: job_id, contract: None, crew: None };
    let now = service.clock.now();
    let report = service.read(&member, async |books| compose(books, &member, &asked, now).await).await?;
    let named = format!("attachment; filename=\"audit_{}_{}.csv\"", report.from, report.to);
    Ok(match format {
        ReportFormat::Json => HttpResponse::Ok().json(report),
        ReportFormat::Csv => HttpResponse::Ok()
            .insert_header((CONTENT_TYPE, comma_separated::CONTENT_TYPE))
            .insert_header((CONTENT_DISPOSITION, named))
            .body(rows::table(&report, section)?),
        ReportFormat::Html => on_paper::page(&papers::report(&report)),
        ReportFormat::Pdf => on_paper::document(papers::report(&report), paper.unwrap_or_default()).await?,
    })
}
