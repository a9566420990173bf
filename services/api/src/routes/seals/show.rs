//! Shows a seal.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::SealId;
use seal::Seal;
use storage::{Books, KeptSeal};
use wire::Code;

use crate::books::seal_key::handed_out;
use crate::http::caller::Member;
use crate::http::operation::{Access, Effect, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// Who sees seals: whoever sees the whole of the books, and the mill, which learns nothing from a hash.
pub const READERS: Access = crate::http::operation::WHOLE_BOOKS_AND_MILL;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_seal",
    method: Method::GET,
    path: "/v1/seals/{seal_id}",
    access: READERS,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// Show a seal
///
/// The signature is over the statement in canonical form (RFC 8785).
#[utoipa::path(
    tag = "seals",
    operation_id = "show_seal",
    params(("seal_id" = SealId, Path, description = "The seal.")),
    responses((status = 200, description = "The seal.", body = Seal))
)]
#[get("/v1/seals/{seal_id}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<SealId>,
) -> Result<Json<Seal>, Refusal> {
    let seal = service.read(&member, async |books| Ok(find(books, id.0).await?.1)).await?;
    Ok(Json(seal))
}

/// A seal as it is kept and as it is handed out.
///
/// # Errors
///
/// [`Code::NotFound`].
pub async fn find(books: &mut Books, id: SealId) -> Result<(KeptSeal, Seal), Refusal> {
    let kept = books.seal(id).await?.ok_or_else(|| Refusal::not_found("seal", id))?;
    let keys = books.seal_keys().await?;
    let seal = handed_out(books.outfit(), &kept, &keys).ok_or_else(no_key)?;
    Ok((kept, seal))
}

/// A seal names a key that is not there, which the database would not have kept.
#[must_use]
pub fn no_key() -> Refusal {
    Refusal::internal("a seal names a key that is not there")
}
