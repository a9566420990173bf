//! Shows what terms would pay for days past, keeping nothing.

use actix_web::http::Method;
use actix_web::post;
use actix_web::web::{Data, Json};
use kernel::{ContractId, Money};
use settlement::Rates;
use storage::{Books, Contract, Terms};
use wire::{Code, FieldProblem, TermsPreview, TermsPreviewRequest};

use super::file_terms::settle_terms;
use crate::books::previewing::{Period, Reckoning, beside};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::routes::time::list::view as time_view;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "preview_terms",
    method: Method::POST,
    path: "/v1/contracts/{contract_id}/terms/preview",
    access: BOOKKEEPING,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TermsClash, Code::TooLarge],
};

/// Show what terms would pay for days past
///
/// The period's standing tickets and paid time are scaled and priced again, under the terms in force and as if the
/// proposed ones had been filed now; nothing is kept.
#[utoipa::path(
    tag = "contracts",
    operation_id = "preview_terms",
    params(("contract_id" = ContractId, Path, description = "The contract.")),
    request_body = TermsPreviewRequest,
    responses((status = 200, description = "What they would pay.", body = TermsPreview))
)]
#[post("/v1/contracts/{contract_id}/terms/preview")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    contract: InPath<ContractId>,
    body: Body<TermsPreviewRequest>,
) -> Result<Json<TermsPreview>, Refusal> {
    let sent = body.0;
    if sent.from > sent.to {
        let detail = "the period ends before it begins".to_owned();
        let problem = FieldProblem { pointer: "#/to".to_owned(), detail: detail.clone() };
        return Err(Refusal::new(Code::WrongForm, detail).at(vec![problem]));
    }
    let shown = service
        .read(&member, async |books| {
            let found = books.contract(contract.0).await?;
            let contract = found.ok_or_else(|| Refusal::not_found("contract", contract.0))?;
            let settled = settle_terms(books, &sent.terms, contract.party, "/terms").await?;
            let proposed = settled.into_terms(contract.id, &service, &member);
            // Later than any that was filed.
            preview(books, &contract, Terms { revision: i32::MAX, ..proposed }, &sent).await
        })
        .await?;
    Ok(Json(shown))
}

async fn preview(
    books: &mut Books,
    contract: &Contract,
    proposed: Terms,
    sent: &TermsPreviewRequest,
) -> Result<TermsPreview, Refusal> {
    let outfit = own(books).await?;
    let gaps = Rates::gaps(&proposed.rates).iter().map(ToString::to_string).collect();
    let filed = books.terms_of(&[contract.id]).await?;
    let mut now = Reckoning::under(filed.clone());
    let mut then = Reckoning::under(filed.into_iter().chain([proposed]).collect());
    let period = Period { contract, outfit: &outfit, days: (sent.from, sent.to) };
    let tickets = period.reckon(books, &mut [&mut now, &mut then]).await?;
    let rates = beside(&now, &then, &outfit)?;
    let mut totals = (Money::zero(outfit.currency), Money::zero(outfit.currency));
    for rate in &rates {
        totals.0 = totals.0.plus(rate.now.amount)?;
        totals.1 = totals.1.plus(rate.proposed.amount)?;
    }
    Ok(TermsPreview {
        from: sent.from,
        to: sent.to,
        tickets,
        rates,
        now: totals.0,
        proposed: totals.1,
        difference: totals.1.minus(totals.0)?,
        unpriced: then.unpriced,
        unpriced_time: then.unpriced_time.iter().map(time_view).collect(),
        gaps,
    })
}
