//! Papers handed through from the service, as a document to print or a page to read.

use actix_web::http::header::{CONTENT_DISPOSITION, CONTENT_SECURITY_POLICY};
use actix_web::web::Path;
use actix_web::{HttpResponse, get};
use client::PaperOf;
use kernel::{CrewId, SettlementId, StatementId, TicketId};
use wire::PaperFormat;

use crate::session::person::Person;
use crate::trouble::Trouble;

/// What a browser may do with a paper: show it with the style that stands in it. It runs nothing and asks nowhere.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; base-uri 'none'; \
form-action 'none'; frame-ancestors 'none'";

/// A scale ticket.
///
/// # Errors
///
/// [`Trouble`].
#[get("/papers/{kind:tickets?}/{ticket}.{form}")]
pub async fn ticket(person: Person, path: Path<(String, TicketId, String)>) -> Result<HttpResponse, Trouble> {
    let (_, ticket, form) = path.into_inner();
    handed(&person, &PaperOf::Ticket(ticket), &form, "ticket").await
}

/// A statement of a worker or a mill.
///
/// # Errors
///
/// [`Trouble`].
#[get("/papers/statement/{statement}.{form}")]
pub async fn statement(person: Person, path: Path<(StatementId, String)>) -> Result<HttpResponse, Trouble> {
    let (statement, form) = path.into_inner();
    handed(&person, &PaperOf::Statement(statement), &form, "statement").await
}

/// A crew's sheet of a settlement.
///
/// # Errors
///
/// [`Trouble`].
#[get("/papers/crew/{settlement}/{crew}.{form}")]
pub async fn crew(
    person: Person,
    path: Path<(SettlementId, CrewId, String)>,
) -> Result<HttpResponse, Trouble> {
    let (settlement, crew, form) = path.into_inner();
    handed(&person, &PaperOf::CrewSheet(settlement, crew), &form, "crew-sheet").await
}

async fn handed(person: &Person, of: &PaperOf, form: &str, name: &str) -> Result<HttpResponse, Trouble> {
    let (format, media_type) = match form {
        "pdf" => (PaperFormat::Pdf, "application/pdf"),
        "html" => (PaperFormat::Html, "text/html; charset=utf-8"),
        _ => return Err(Trouble::NoSuchPage),
    };
    let paper = person.service.paper(of, format, None).await?;
    Ok(HttpResponse::Ok()
        .content_type(media_type)
        .insert_header((CONTENT_DISPOSITION, format!("inline; filename=\"{name}.{form}\"")))
        .insert_header((CONTENT_SECURITY_POLICY, POLICY))
        .body(paper))
}
