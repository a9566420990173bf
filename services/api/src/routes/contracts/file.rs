//! Files a contract with its first terms.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use storage::{Contract, ContractParty};
use wire::{Code, ContractCreate, ContractView, Party};

use super::file_terms::{file_terms, settle_terms};
use super::show::{terms_view, view};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_contract",
    method: Method::POST,
    path: "/v1/contracts",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord, Code::PartyHasContract, Code::TermsClash, Code::TooLarge],
};

/// File a contract with its first terms
///
/// With a crew, we pay them; with a mill, it pays us. The terms are checked as a whole; two rates that could both
/// cover one piece are refused with the exact clash.
#[utoipa::path(
    tag = "contracts",
    operation_id = "file_contract",
    request_body = ContractCreate,
    responses((status = 201, description = "Filed.", body = ContractView))
)]
#[post("/v1/contracts")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<ContractCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    let contract = Contract {
        id: service.ids.make(),
        title: sent.title.as_str().to_owned(),
        job: sent.job_id,
        party: match sent.party {
            Party::CrewId(crew) => ContractParty::Crew(crew),
            Party::MillId(mill) => ContractParty::Mill(mill),
        },
        made: member.stamp(service.clock.as_ref()),
    };
    filing
        .keep(&service, &member, async |books| {
            books.close_to_others(&service.ids).await?;
            let settled = settle_terms(books, &sent.terms, contract.party, "/terms").await?;
            books.add_contract(&contract).await?;
            let (terms, _) = file_terms(books, &contract, settled, &service, &member).await?;
            Ok(Kept::new(contract.id, view(&contract, vec![terms_view(&terms)])))
        })
        .await
}
