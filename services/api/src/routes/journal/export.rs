//! Hands the journal over to other tools.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, get};
use jiff::civil::Date;
use serde::Deserialize;
use utoipa::IntoParams;
use wire::{Code, JournalFormat};

use crate::books::journal_export::{Handover, comma_separated, plain_text};
use crate::books::names::Names;
use crate::http::caller::Member;
use crate::http::comma_separated::CONTENT_TYPE;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::{InQuery, check_span};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "export_journal",
    method: Method::GET,
    path: "/v1/journal/export",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// In which form, and which days.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct ExportQuery {
    /// In which form.
    #[param(inline)]
    format: JournalFormat,
    /// Entries dated on this day or later; from the beginning when left out.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    from: Option<Date>,
    /// Entries dated on this day or earlier; to the end when left out.
    #[param(value_type = Option<String>, format = Date)]
    #[serde(default, deserialize_with = "wire::deserialize_day_if_any")]
    to: Option<Date>,
}

/// Hand the journal over to other tools
///
/// In the order of the days. As `csv`: a head, then a row for each posting, with debit and credit as plain numbers in
/// columns of their own (RFC 4180); a cell that begins like a formula has an apostrophe before it. As `text`: plain-text
/// double entry, the form that general-purpose accounting tools read: a dated line for each entry with its id in
/// brackets, below it an indented line for each posting with its account and, after two blanks or more, its amount and
/// currency; debits are above zero, credits below.
///
/// Accounts have the same titles in both. In a name, what would end it early (a colon, a semicolon, a second blank)
/// stands as `%` and two hexadecimal digits for each byte.
#[utoipa::path(
    tag = "journal",
    operation_id = "export_journal",
    params(ExportQuery),
    responses((status = 200, description = "The journal, in the form that was asked for; in UTF-8.",
               content((String = "text/csv"), (String = "text/plain"))))
)]
#[get("/v1/journal/export")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    query: InQuery<ExportQuery>,
) -> Result<HttpResponse, Refusal> {
    let ExportQuery { format, from, to } = query.0;
    check_span(from, to)?;
    let text = service
        .read(&member, async |books| {
            let outfit = own(books).await?;
            let names = Names::read(books).await?;
            let entries = books.journal_by_day(from, to).await?;
            let journal = Handover {
                outfit_name: &outfit.name,
                currency: outfit.currency,
                from,
                to,
                entries: &entries,
            };
            match format {
                JournalFormat::Csv => comma_separated(&journal, &names),
                JournalFormat::Text => Ok(plain_text(&journal, &names)),
            }
        })
        .await?;
    let (content_type, file) = match format {
        JournalFormat::Csv => (CONTENT_TYPE, "journal.csv"),
        JournalFormat::Text => ("text/plain; charset=utf-8", "journal.txt"),
    };
    Ok(HttpResponse::Ok()
        .insert_header(("Content-Type", content_type))
        .insert_header(("Content-Disposition", format!("attachment; filename=\"{file}\"")))
        .body(text))
}
