//! Papers handed through from the service, as a document to print or a page to read: byte for byte what it answers.

use actix_web::http::header::{CONTENT_DISPOSITION, CONTENT_SECURITY_POLICY};
use actix_web::web::{Path, Query, ServiceConfig};
use actix_web::{HttpResponse, get};
use client::{PaperOf, ReportQuery};
use kernel::{CrewId, SettlementId, StatementId, TicketId};
use papers::Paper;
use serde::de::DeserializeOwned;
use wire::PaperFormat;

use super::audit::asked::{Filled, id};
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Attaches them.
pub fn attach(config: &mut ServiceConfig) {
    config.service(ticket).service(statement).service(crew_sheet).service(report);
}

/// A scale ticket.
///
/// # Errors
///
/// [`Trouble`].
#[get("/papers/tickets/{ticket}.{form}")]
pub async fn ticket(person: Person, path: Path<(TicketId, String)>) -> Result<HttpResponse, Trouble> {
    let (ticket, form) = path.into_inner();
    handed(&person, &PaperOf::Ticket(ticket), &form, papers::ticket).await
}

/// A statement of a worker or a mill.
///
/// # Errors
///
/// [`Trouble`].
#[get("/papers/statements/{statement}.{form}")]
pub async fn statement(person: Person, path: Path<(StatementId, String)>) -> Result<HttpResponse, Trouble> {
    let (statement, form) = path.into_inner();
    handed(&person, &PaperOf::Statement(statement), &form, papers::statement).await
}

/// A crew's sheet of a settlement.
///
/// # Errors
///
/// [`Trouble`].
#[get("/papers/settlements/{settlement}/crews/{crew}.{form}")]
pub async fn crew_sheet(
    person: Person,
    path: Path<(SettlementId, CrewId, String)>,
) -> Result<HttpResponse, Trouble> {
    let (settlement, crew, form) = path.into_inner();
    handed(&person, &PaperOf::CrewSheet(settlement, crew), &form, papers::crew_sheet).await
}

/// The audit report over the weeks, job, contract and crew that the audit's page shows.
///
/// # Errors
///
/// [`Trouble`].
#[get("/papers/report.{form}")]
pub async fn report(
    person: Person,
    form: Path<String>,
    filled: Query<Filled>,
) -> Result<HttpResponse, Trouble> {
    let (from, to) = filled.days()?;
    let asked = ReportQuery {
        job_id: id(&filled.job_id)?,
        contract_id: id(&filled.contract_id)?,
        crew_id: id(&filled.crew_id)?,
        ..ReportQuery::of_days(from, to)
    };
    handed(&person, &PaperOf::Report(asked), &form, papers::report).await
}

/// The service's paper. Its name comes from the reply that the service makes the paper of, by the rule it names papers by.
async fn handed<T: DeserializeOwned>(
    person: &Person,
    of: &PaperOf,
    form: &str,
    set: impl FnOnce(&T) -> Paper,
) -> Result<HttpResponse, Trouble> {
    let (format, media_type) = match form {
        "pdf" => (PaperFormat::Pdf, "application/pdf"),
        "html" => (PaperFormat::Html, "text/html; charset=utf-8"),
        _ => return Err(Trouble::NoSuchPage),
    };
    let reply = person.service.paper(of, PaperFormat::Json, None).await?;
    let reply = serde_json::from_slice(&reply).map_err(Trouble::internal)?;
    let name = set(&reply).file_name;
    let paper = person.service.paper(of, format, None).await?;
    let mut answer = HttpResponse::Ok();
    answer.content_type(media_type);
    answer.insert_header((CONTENT_DISPOSITION, format!("inline; filename=\"{name}.{form}\"")));
    if format == PaperFormat::Html {
        answer.insert_header((CONTENT_SECURITY_POLICY, papers::CONTENT_SECURITY_POLICY));
    }
    Ok(answer.body(paper))
}
