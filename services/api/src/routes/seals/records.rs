//! Hands over the documents of all records that a seal covers.

use actix_web::http::Method;
use actix_web::http::header::{CONTENT_TYPE, LINK};
use actix_web::web::Data;
use actix_web::{HttpResponse, get};
use kernel::SealId;
use serde::Deserialize;
use storage::{Books, KeptSeal};
use utoipa::IntoParams;
use wire::Code;

use super::show::find;
use crate::books::sealed_documents::read;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::{InPath, InQuery};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// How many lines at the most.
const LARGEST_PAGE: u16 = 1000;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "export_sealed_records",
    method: Method::GET,
    path: "/v1/seals/{seal_id}/records",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// Which records.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct PositionQuery {
    /// The place to begin at; 0 when left out.
    from: Option<u64>,
    /// How many at the most: 1 to 1000. 1000 when left out.
    limit: Option<u16>,
}

/// Hand over the sealed records
///
/// One document a line, in the order of the leaves, each exactly the bytes that its leaf is the hash of: SHA-256 of a zero
/// byte and the line, without its end. So anybody can make the root again from nothing. Documents are made from the books
/// as they are now; in the place of a record that is not there any more stands `null`. The header `Link` names the next
/// page.
#[utoipa::path(
    tag = "seals",
    operation_id = "export_sealed_records",
    params(("seal_id" = SealId, Path, description = "The seal."), PositionQuery),
    responses((status = 200, description = "The records, one JSON document a line.",
               content((String = "application/x-ndjson"))))
)]
#[get("/v1/seals/{seal_id}/records")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<SealId>,
    query: InQuery<PositionQuery>,
) -> Result<HttpResponse, Refusal> {
    let limit = query.0.limit.unwrap_or(LARGEST_PAGE);
    if limit == 0 || limit > LARGEST_PAGE {
        let says = format!("`limit` is {limit}: write a number from 1 to {LARGEST_PAGE}");
        return Err(Refusal::new(Code::WrongAddress, says));
    }
    let from = query.0.from.unwrap_or_default();
    if i64::try_from(from).is_err() {
        return Err(Refusal::new(
            Code::WrongAddress,
            format!("`from` is {from}, which is no place of a record"),
        ));
    }
    let (size, lines) = service
        .read(&member, async |books| {
            let (kept, _) = find(books, id.0).await?;
            Ok((kept.size, lines(books, &kept, from, limit).await?))
        })
        .await?;
    let mut response = HttpResponse::Ok();
    response.insert_header((CONTENT_TYPE, "application/x-ndjson"));
    let next = from.saturating_add(limit.into());
    if next < size {
        let seal = id.0;
        let link = format!("</v1/seals/{seal}/records?from={next}&limit={limit}>; rel=\"next\"");
        response.insert_header((LINK, link));
    }
    Ok(response.body(lines))
}

async fn lines(books: &mut Books, seal: &KeptSeal, from: u64, limit: u16) -> Result<Vec<u8>, Refusal> {
    let leaves = books.seal_leaves(from, seal.size.min(from.saturating_add(limit.into())), limit).await?;
    let records: Vec<_> = leaves.iter().map(|leaf| leaf.record).collect();
    let known = read(books, &records).await?;
    let mut lines = Vec::new();
    for record in records {
        match known.get(&record) {
            Some(sealable) => lines.extend_from_slice(sealable.document()?.bytes()),
            None => lines.extend_from_slice(b"null"),
        }
        lines.push(b'\n');
    }
    Ok(lines)
}
