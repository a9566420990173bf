//! Lists the outfit's contracts.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use wire::{ContractView, Listing};

use super::show::{terms_view, view};
use crate::http::caller::Member;
use crate::http::listing::{InList, NoFilter, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_contracts",
    method: Method::GET,
    path: "/v1/contracts",
    access: WHOLE_BOOKS_AND_MILL,
    effect: Effect::None,
    refusals: &[],
};

/// List the contracts with their terms
///
/// A mill sees its own contracts only.
#[utoipa::path(
    tag = "contracts",
    operation_id = "list_contracts",
    params(PageQuery),
    responses((status = 200, description = "A page of contracts, oldest first.", body = Listing<ContractView>))
)]
#[get("/v1/contracts")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<NoFilter>,
) -> Result<Shown<Listing<ContractView>>, Refusal> {
    let page = list.page()?;
    let (contracts, terms) = service
        .read(&member, async |books| {
            let contracts = books.contracts(member.mill, page).await?;
            let ids: Vec<_> = contracts.iter().map(|contract| contract.id).collect();
            let terms = books.terms_of(&ids).await?;
            Ok::<_, Refusal>((contracts, terms))
        })
        .await?;
    let items: Vec<_> = contracts
        .iter()
        .map(|contract| {
            let own = terms.iter().filter(|terms| terms.contract == contract.id);
            view(contract, own.map(terms_view).collect())
        })
        .collect();
    Ok(list.answer(items, |item: &ContractView| item.contract_id))
}
