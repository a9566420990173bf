//! Lists the outfit's accounts.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use wire::{AccountView, Listing};

use crate::access::accounts::view;
use crate::http::caller::Member;
use crate::http::listing::{InList, NoFilter, PageQuery, Shown};
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_accounts",
    method: Method::GET,
    path: "/v1/accounts",
    access: MANAGING,
    effect: Effect::None,
    refusals: &[],
};

/// List the accounts
///
/// Everybody who can sign in, or could: closed accounts stay, with who closed them and why.
#[utoipa::path(
    tag = "access",
    operation_id = "list_accounts",
    params(PageQuery),
    responses((status = 200, description = "A page of accounts, oldest first.", body = Listing<AccountView>))
)]
#[get("/v1/accounts")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<NoFilter>,
) -> Result<Shown<Listing<AccountView>>, Refusal> {
    let page = list.page()?;
    let found = service.read(&member, async |books| Ok::<_, Refusal>(books.accounts(page).await?)).await?;
    let items = found.into_iter().map(view).collect::<Result<Vec<_>, _>>()?;
    Ok(list.answer(items, |item: &AccountView| item.account_id))
}
