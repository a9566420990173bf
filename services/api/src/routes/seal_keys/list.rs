//! Lists the keys that the outfit's seals are signed with.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use wire::SealKeyView;

use crate::http::caller::Member;
use crate::http::listing::{FormatQuery, InWhole, NoFilter, Shown};
use crate::http::operation::{Effect, Operation};
use crate::http::refusal::Refusal;
use crate::routes::seals::show::READERS;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_seal_keys",
    method: Method::GET,
    path: "/v1/seal-keys",
    access: READERS,
    effect: Effect::None,
    refusals: &[],
};

/// List the keys that seals are signed with, oldest first
///
/// Usually one: another one is made when the service cannot open the one before, because its `SKIDWAY_SECRETS_KEY` was
/// changed. Seals stay good with the key that they name. Get the key on another way than the seals, and compare.
#[utoipa::path(
    tag = "seals",
    operation_id = "list_seal_keys",
    params(FormatQuery),
    responses((status = 200, description = "The keys.", body = Vec<SealKeyView>))
)]
#[get("/v1/seal-keys")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InWhole<NoFilter>,
) -> Result<Shown<Vec<SealKeyView>>, Refusal> {
    let keys = service.read(&member, async |books| Ok(books.seal_keys().await?)).await?;
    let view = |key: storage::SealKey| SealKeyView {
        seal_key_id: key.id,
        public_key: key.public,
        made_by: key.made.by,
        made_at: key.made.at,
    };
    Ok(list.answer(keys.into_iter().map(view).collect()))
}
