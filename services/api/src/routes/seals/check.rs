//! Holds the books as they lie now against a seal.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::SealId;
use wire::{Code, SealCheck};

use super::show::find;
use crate::books::checking_seal::check;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "check_seal",
    method: Method::GET,
    path: "/v1/seals/{seal_id}/check",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// Hold the books against a seal
///
/// The service makes the document of every sealed record again from the books as they are now, and holds it against its
/// leaf; the leaves against the root of the seal and of every seal before it; and the roots against their signatures. What
/// differs is named. Whoever has both the database and the service's key could make all of it anew: that is shown only by
/// a seal that was kept elsewhere.
#[utoipa::path(
    tag = "seals",
    operation_id = "check_seal",
    params(("seal_id" = SealId, Path, description = "The seal.")),
    responses((status = 200, description = "What was found.", body = SealCheck))
)]
#[get("/v1/seals/{seal_id}/check")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<SealId>,
) -> Result<Json<SealCheck>, Refusal> {
    let checked = service
        .read(&member, async |books| {
            let (kept, seal) = find(books, id.0).await?;
            let keys = books.seal_keys().await?;
            let found = check(books, &kept, &keys).await?;
            Ok(SealCheck {
                seal,
                sound: found.findings.is_empty(),
                records_checked: found.records,
                seals_checked: found.seals,
                findings: found.findings,
                findings_left_out: found.left_out,
                checked_at: service.clock.now(),
            })
        })
        .await?;
    Ok(Json(checked))
}
