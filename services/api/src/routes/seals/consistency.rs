//! Proves that one seal covers what another does, and more.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::SealId;
use seal::consistency_path;
use serde::Deserialize;
use utoipa::IntoParams;
use wire::{Code, SealConsistency};

use super::show::{READERS, find};
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation};
use crate::http::parameters::{InPath, InQuery};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_seal_consistency",
    method: Method::GET,
    path: "/v1/seals/{seal_id}/consistency",
    access: READERS,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// The other seal.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct FromQuery {
    /// The other seal; usually the earlier one, which somebody kept.
    from: SealId,
}

/// Prove that one seal is the beginning of another
///
/// The hashes that prove it (RFC 9162, section 2.1.4), from the seal over fewer records to the one over more, whichever
/// is named first. Hold them against the seal that was kept, not against the one that is answered here.
#[utoipa::path(
    tag = "seals",
    operation_id = "show_seal_consistency",
    params(("seal_id" = SealId, Path, description = "The seal."), FromQuery),
    responses((status = 200, description = "The proof.", body = SealConsistency))
)]
#[get("/v1/seals/{seal_id}/consistency")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<SealId>,
    query: InQuery<FromQuery>,
) -> Result<Json<SealConsistency>, Refusal> {
    let proof = service
        .read(&member, async |books| {
            let (one, other) = (find(books, query.0.from).await?.1, find(books, id.0).await?.1);
            let one_first = one.statement.tree_size <= other.statement.tree_size;
            let (from, to) = if one_first { (one, other) } else { (other, one) };
            let leaves = books.seal_leaf_hashes(to.statement.tree_size).await?;
            let size = usize::try_from(from.statement.tree_size).map_err(Refusal::internal)?;
            let path = consistency_path(&leaves, size);
            let path = path.ok_or_else(|| Refusal::internal("leaves are missing from the tree"))?;
            Ok(SealConsistency { from, to, path })
        })
        .await?;
    Ok(Json(proof))
}
