//! A seal and its proofs as files, in the form that `skid verify` reads.

use actix_web::http::header::CONTENT_DISPOSITION;
use actix_web::web::{Bytes, Path};
use actix_web::{HttpResponse, get};
use client::SealedRecord;
use futures_util::stream::try_unfold;
use kernel::{SealId, SettlementId, TicketId};
use serde::Serialize;

use crate::session::person::Person;
use crate::trouble::Trouble;

/// A document as a file of a name.
fn file(name: &str, document: &impl Serialize) -> Result<HttpResponse, Trouble> {
    let text = serde_json::to_string_pretty(document).map_err(Trouble::internal)? + "\n";
    Ok(HttpResponse::Ok()
        .content_type("application/json")
        .insert_header((CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")))
        .body(text))
}

/// The seal.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/seals/{seal}/seal.json")]
pub async fn seal_itself(person: Person, id: Path<SealId>) -> Result<HttpResponse, Trouble> {
    file("seal.json", &person.service.show_seal(*id).await?)
}

/// The proof that a ticket is sealed, with the ticket.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/seals/{seal}/ticket-{ticket}.json")]
pub async fn inclusion_of_ticket(
    person: Person,
    path: Path<(SealId, TicketId)>,
) -> Result<HttpResponse, Trouble> {
    let (seal, ticket) = path.into_inner();
    let proof = person.service.show_seal_inclusion(seal, SealedRecord::Ticket(ticket)).await?;
    file(&format!("ticket-{ticket}.json"), &proof)
}

/// The proof that a settlement is sealed, with the settlement.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/seals/{seal}/settlement-{settlement}.json")]
pub async fn inclusion_of_settlement(
    person: Person,
    path: Path<(SealId, SettlementId)>,
) -> Result<HttpResponse, Trouble> {
    let (seal, settlement) = path.into_inner();
    let proof = person.service.show_seal_inclusion(seal, SealedRecord::Settlement(settlement)).await?;
    file(&format!("settlement-{settlement}.json"), &proof)
}

/// The proof that an earlier seal is the beginning of this one.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/seals/{seal}/consistency-{from}.json")]
pub async fn consistency(person: Person, path: Path<(SealId, SealId)>) -> Result<HttpResponse, Trouble> {
    let (seal, from) = path.into_inner();
    file("consistency.json", &person.service.show_seal_consistency(seal, from).await?)
}

/// All records of the seal, one to a line, handed on as the service gives them.
///
/// # Errors
///
/// [`Trouble`].
#[get("/audit/seals/{seal}/records.ndjson")]
pub async fn records(person: Person, id: Path<SealId>) -> Result<HttpResponse, Trouble> {
    let (seal, service) = (*id, person.service);
    let size = service.show_seal(seal).await?.statement.tree_size;
    // What is refused is refused before the first byte is sent.
    let first = service.export_sealed_records(seal, 0).await?;
    let pages = try_unfold((0_u64, Some(first)), move |(from, ready)| {
        let service = service.clone();
        async move {
            if from >= size {
                return Ok::<_, Trouble>(None);
            }
            let page = match ready {
                Some(page) => page,
                None => service.export_sealed_records(seal, from).await?,
            };
            let lines = u64::try_from(page.lines().count()).unwrap_or(u64::MAX);
            if lines == 0 {
                return Err(Trouble::internal("the service gives fewer records than are sealed"));
            }
            Ok(Some((Bytes::from(page), (from.saturating_add(lines), None))))
        }
    });
    Ok(HttpResponse::Ok()
        .content_type("application/x-ndjson")
        .insert_header((CONTENT_DISPOSITION, "attachment; filename=\"records.ndjson\""))
        .streaming(Box::pin(pages)))
}
