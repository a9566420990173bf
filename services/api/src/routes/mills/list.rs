//! Lists the outfit's mills.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use kernel::MillId;
use storage::Named;
use wire::{Listing, MillView};

use crate::http::caller::Member;
use crate::http::listing::{InList, NoFilter, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, YARD_AND_BOOKS};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_mills",
    method: Method::GET,
    path: "/v1/mills",
    access: YARD_AND_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// List the mills
#[utoipa::path(
    tag = "places",
    operation_id = "list_mills",
    params(PageQuery),
    responses((status = 200, description = "A page of mills, oldest first.", body = Listing<MillView>))
)]
#[get("/v1/mills")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<NoFilter>,
) -> Result<Shown<Listing<MillView>>, Refusal> {
    let page = list.page()?;
    let found = service.read(&member, async |books| Ok::<_, Refusal>(books.mills(page).await?)).await?;
    let items: Vec<_> = found.into_iter().map(view).collect();
    Ok(list.answer(items, |item: &MillView| item.mill_id))
}

/// A mill as it is shown.
pub fn view(mill: Named<MillId>) -> MillView {
    MillView { mill_id: mill.id, name: mill.name, made_at: mill.made.at }
}
