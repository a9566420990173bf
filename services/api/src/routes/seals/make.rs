//! Makes a seal over everything that was accepted so far.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use seal::Seal;
use wire::SealCreate;

use crate::books::sealing::seal_books;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "make_seal",
    method: Method::POST,
    path: "/v1/seals",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[],
};

/// Seal the books
///
/// States the size and the root of a Merkle tree (RFC 9162) over every accepted ticket and every posted settlement, each
/// in canonical form (RFC 8785), signed with the outfit's own key (Ed25519). Keep it away from this service: whoever has
/// it can show later that nothing before it was changed, removed or slipped in. The posting of a week makes one by itself.
/// Where nothing came in since the latest seal, that one is answered again.
#[utoipa::path(
    tag = "seals",
    operation_id = "make_seal",
    request_body = SealCreate,
    responses(
        (status = 201, description = "Made.", body = Seal),
        (status = 200, description = "Nothing has come in since this one.", body = Seal,
         headers(("Replayed" = String, description = "Always `true`.")))
    )
)]
#[post("/v1/seals")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<SealCreate>,
) -> Result<HttpResponse, Refusal> {
    let SealCreate {} = body.0;
    filing
        .keep(&service, &member, async |books| {
            books.close_to_others(&service.ids).await?;
            let stamp = member.stamp(service.clock.as_ref());
            let made = seal_books(books, &service, stamp, None).await?;
            Ok(Kept::new_if(made.new, made.seal.statement.seal_id, made.seal))
        })
        .await
}
