//! Lists seals.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use seal::Seal;
use wire::Listing;

use super::show::{READERS, no_key};
use crate::books::seal_key::handed_out;
use crate::http::caller::Member;
use crate::http::listing::{InList, NoFilter, PageQuery, Shown};
use crate::http::operation::{Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_seals",
    method: Method::GET,
    path: "/v1/seals",
    access: READERS,
    effect: Effect::None,
    refusals: &[],
};

/// List seals, oldest first
#[utoipa::path(
    tag = "seals",
    operation_id = "list_seals",
    params(PageQuery),
    responses((status = 200, description = "A page of seals.", body = Listing<Seal>))
)]
#[get("/v1/seals")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<NoFilter>,
) -> Result<Shown<Listing<Seal>>, Refusal> {
    let page = list.page()?;
    let items = service
        .read(&member, async |books| {
            let keys = books.seal_keys().await?;
            let kept = books.seals(page).await?;
            kept.iter().map(|one| handed_out(member.outfit, one, &keys).ok_or_else(no_key)).collect()
        })
        .await?;
    Ok(list.answer(items, |seal: &Seal| seal.statement.seal_id))
}
