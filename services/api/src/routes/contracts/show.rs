//! Shows a contract with every terms filed for it.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::ContractId;
use storage::{Contract, ContractParty, Terms};
use wire::{Code, ContractView, TermsView};

use crate::books::names::party_view;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_contract",
    method: Method::GET,
    path: "/v1/contracts/{contract_id}",
    access: WHOLE_BOOKS_AND_MILL,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// Show a contract with every terms filed for it
///
/// A mill sees its own contracts only.
#[utoipa::path(
    tag = "contracts",
    operation_id = "show_contract",
    params(("contract_id" = ContractId, Path, description = "The contract.")),
    responses((status = 200, description = "The contract.", body = ContractView))
)]
#[get("/v1/contracts/{contract_id}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<ContractId>,
) -> Result<Json<ContractView>, Refusal> {
    let (contract, terms) = service
        .read(&member, async |books| {
            let found = books.contract(id.0).await?.filter(|contract| sees(&member, contract));
            let contract = found.ok_or_else(|| Refusal::not_found("contract", id.0))?;
            let terms = books.terms_of(&[contract.id]).await?;
            Ok::<_, Refusal>((contract, terms))
        })
        .await?;
    Ok(Json(view(&contract, terms.iter().map(terms_view).collect())))
}

/// Whether a caller may see a contract: a mill sees its own.
pub fn sees(member: &Member, contract: &Contract) -> bool {
    member.mill.is_none_or(|mill| contract.party == ContractParty::Mill(mill))
}

/// A contract as it is shown.
pub fn view(contract: &Contract, terms: Vec<TermsView>) -> ContractView {
    ContractView {
        contract_id: contract.id,
        title: contract.title.clone(),
        job_id: contract.job,
        party: party_view(contract.party),
        made_at: contract.made.at,
        terms,
    }
}

/// Terms as they are shown.
pub fn terms_view(terms: &Terms) -> TermsView {
    TermsView {
        terms_id: terms.id,
        effective_from: terms.effective_from,
        revision: terms.revision,
        practice: terms.practice.clone(),
        rates: terms.rates.clone(),
        holdback: terms.holdback,
        check_tolerance: terms.check_tolerance,
        filed_by: terms.filed.by.clone(),
        filed_at: terms.filed.at,
    }
}
