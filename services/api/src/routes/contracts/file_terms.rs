//! Files new terms for a contract.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::{ContractId, Product};
use scaling::Practice;
use settlement::{Rate, RateUnit, Rates};
use storage::{Books, Contract, Terms};
use wire::{Code, FieldProblem, TermsCreate, TermsFiled};

use super::show::terms_view;
use crate::books::adjusting::work_out_again;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::operation::{BOOKKEEPING, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_terms",
    method: Method::POST,
    path: "/v1/contracts/{contract_id}/terms",
    access: BOOKKEEPING,
    refusals: &[Code::NotFound, Code::TermsClash, Code::TooLarge],
};

/// File new terms for a contract
///
/// Old terms stay readable. Tickets already accepted that fall under the new terms are worked out again.
#[utoipa::path(
    tag = "contracts",
    operation_id = "file_terms",
    params(("contract_id" = ContractId, Path, description = "The contract.")),
    request_body = TermsCreate,
    responses((status = 201, description = "Filed.", body = TermsFiled))
)]
#[post("/v1/contracts/{contract_id}/terms")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    contract: InPath<ContractId>,
    body: Body<TermsCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    let rates = check_terms(&sent, "")?;
    let gaps = rates.gaps().iter().map(ToString::to_string).collect();
    let (terms, tickets_worked_out_again) = service
        .store
        .write(member.outfit, async |books| {
            books.close_to_others().await?;
            let found = books.contract(contract.0).await?;
            let contract = found.ok_or_else(|| Refusal::not_found("contract", contract.0))?;
            file_terms(books, &contract, &sent, rates, &service, &member).await
        })
        .await?;
    Ok(HttpResponse::Created().json(TermsFiled {
        terms: terms_view(&terms),
        gaps,
        tickets_worked_out_again,
    }))
}

/// Keeps terms and works out again the tickets that fall under them. The books must be closed to others.
///
/// # Errors
///
/// [`Code::TooLarge`]; whatever the books answer.
pub async fn file_terms(
    books: &mut Books,
    contract: &Contract,
    sent: &TermsCreate,
    rates: Rates,
    service: &Service,
    member: &Member,
) -> Result<(Terms, u32), Refusal> {
    let mut terms = Terms {
        id: service.ids.make(),
        contract: contract.id,
        effective_from: sent.effective_from,
        revision: 0,
        practice: sent.practice.clone(),
        rates,
        filed: member.stamp(service.clock.as_ref()),
    };
    terms.revision = books.add_terms(&terms).await?;
    let count = work_out_again(books, contract, &terms, &service.ids, service.clock.as_ref()).await?;
    Ok((terms, count))
}

/// The rates of terms, checked as a whole: against each other, and against what the practice gives.
///
/// # Errors
///
/// [`Code::TermsClash`] with every clash between rates and every rate that lacks a practice.
pub fn check_terms(terms: &TermsCreate, prefix: &str) -> Result<Rates, Refusal> {
    let mut problems = Vec::new();
    for (place, rate) in terms.rates.iter().enumerate() {
        let Some(product) = rate.product() else { continue };
        if lacks_practice(&terms.practice, product, rate) {
            problems.push(FieldProblem {
                pointer: format!("#{prefix}/rates/{place}"),
                detail: format!(
                    "\"{}\" pays for a {} by {}, and the practice does not say how a {} is scaled",
                    rate.name(),
                    product.name(),
                    rate.unit().name(),
                    product.name(),
                ),
            });
        }
    }
    if terms.practice.log.as_ref().is_some_and(|log| !log.names_its_roundings()) {
        problems.push(FieldProblem {
            pointer: format!("#{prefix}/practice/log"),
            detail: "this rule has no rounding of its own: name volume_rounding and deduction_rounding, each with \
                     a step of at most six decimals"
                .to_owned(),
        });
    }
    match Rates::new(terms.rates.clone()) {
        Ok(rates) if problems.is_empty() => return Ok(rates),
        Ok(_) => {}
        Err(clashes) => problems.extend(
            clashes
                .iter()
                .map(|clash| FieldProblem { pointer: format!("#{prefix}/rates"), detail: clash.to_string() }),
        ),
    }
    Err(Refusal::new(Code::TermsClash, "the rates do not fit each other, or the practice").at(problems))
}

/// A pole needs no practice for its length; everything else that is paid by its size, or for being sound, does.
fn lacks_practice(practice: &Practice, product: Product, rate: &Rate) -> bool {
    let unit = rate.unit();
    let by_length = matches!(unit, RateUnit::LinearFoot | RateUnit::LinearMetre);
    if unit.volume_unit().is_none() && !by_length && rate.covers().soundness.is_none() {
        return false;
    }
    match product {
        Product::Log => practice.log.is_none(),
        Product::HewnTimber => practice.hewn_timber.is_none(),
        Product::Tie => practice.tie.is_none(),
        Product::Pole => unit.volume_unit().is_some(),
    }
}
