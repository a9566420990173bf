//! Proves that a record is among those a seal covers.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::{SealId, SettlementId, TicketId};
use seal::inclusion_path;
use serde::Deserialize;
use storage::{Books, SealedRecord};
use utoipa::IntoParams;
use wire::{Code, SealInclusion};

use super::show::{READERS, find};
use crate::books::sealed_documents::read;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation};
use crate::http::parameters::{InPath, InQuery};
use crate::http::refusal::Refusal;
use crate::routes::tickets;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_seal_inclusion",
    method: Method::GET,
    path: "/v1/seals/{seal_id}/inclusion",
    access: READERS,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// Which record: exactly one.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct RecordQuery {
    /// A ticket.
    ticket_id: Option<TicketId>,
    /// A posted settlement.
    settlement_id: Option<SettlementId>,
}

impl RecordQuery {
    fn record(&self) -> Result<SealedRecord, Refusal> {
        match (self.ticket_id, self.settlement_id) {
            (Some(ticket), None) => Ok(SealedRecord::Ticket(ticket)),
            (None, Some(settlement)) => Ok(SealedRecord::Settlement(settlement)),
            _ => Err(Refusal::new(Code::WrongAddress, "name one of `ticket_id` and `settlement_id`")),
        }
    }
}

/// Prove that a ticket or a settlement is sealed
///
/// The record's document, its place, and the hashes that lead from it to the root of the seal (RFC 9162, section 2.1.3).
/// The document is made from the books as they are now: when they were changed since, the proof does not hold. A mill is
/// shown the tickets that were delivered to it, and no settlement.
#[utoipa::path(
    tag = "seals",
    operation_id = "show_seal_inclusion",
    params(("seal_id" = SealId, Path, description = "The seal."), RecordQuery),
    responses((status = 200, description = "The proof.", body = SealInclusion))
)]
#[get("/v1/seals/{seal_id}/inclusion")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<SealId>,
    query: InQuery<RecordQuery>,
) -> Result<Json<SealInclusion>, Refusal> {
    let record = query.0.record()?;
    let proof = service
        .read(&member, async |books| {
            must_see(books, &member, record).await?;
            prove(books, id.0, record).await
        })
        .await?;
    Ok(Json(proof))
}

/// A ticket's document says nothing that the ticket itself does not show, so whoever sees the one may see the other.
async fn must_see(books: &mut Books, member: &Member, record: SealedRecord) -> Result<(), Refusal> {
    match record {
        SealedRecord::Ticket(id) => tickets::show::find(books, member, id).await.map(|_| ()),
        SealedRecord::Settlement(id) if member.mill.is_some() => Err(Refusal::not_found("settlement", id)),
        SealedRecord::Settlement(_) => Ok(()),
    }
}

async fn prove(books: &mut Books, id: SealId, record: SealedRecord) -> Result<SealInclusion, Refusal> {
    let (kept, seal) = find(books, id).await?;
    let no_such = || match record {
        SealedRecord::Ticket(id) => Refusal::not_found("ticket", id),
        SealedRecord::Settlement(id) => Refusal::not_found("posted settlement", id),
    };
    let sealable = read(books, &[record]).await?.remove(&record).ok_or_else(no_such)?;
    let leaf = books.seal_leaf_of(record).await?.filter(|leaf| leaf.position < kept.size);
    let leaf = leaf.ok_or_else(|| {
        let detail =
            format!("{} came in after the seal of {}: ask by a later one", sealable.name(), kept.made.at);
        Refusal::new(Code::NotFound, detail)
    })?;
    let leaves = books.seal_leaf_hashes(kept.size).await?;
    let place = usize::try_from(leaf.position).map_err(Refusal::internal)?;
    let path = inclusion_path(&leaves, place);
    let path = path.ok_or_else(|| Refusal::internal("leaves are missing from the tree"))?;
    let document = String::from_utf8(sealable.document()?.bytes().to_vec()).map_err(Refusal::internal)?;
    Ok(SealInclusion { seal, position: leaf.position, leaf_hash: leaf.hash, path, document })
}
