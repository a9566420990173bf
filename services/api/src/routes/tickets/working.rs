//! Shows the working of a ticket: every step from the readings to the net scale.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::TicketId;
use storage::{Books, ContractParty, Derivation, Terms, Ticket};
use wire::{Code, PieceWorking, TicketWorking};

use super::show::{READERS, find};
use crate::books::entitling::terms_by_id;
use crate::books::parties::parties;
use crate::books::scaling_ticket;
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_working",
    method: Method::GET,
    path: "/v1/tickets/{ticket_id}/working",
    access: READERS,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// Show the working of a ticket
///
/// Scales it again from the measured facts, piece by piece under each contract, with every step.
#[utoipa::path(
    tag = "tickets",
    operation_id = "show_working",
    params(("ticket_id" = TicketId, Path, description = "The ticket.")),
    responses((status = 200, description = "The working.", body = TicketWorking))
)]
#[get("/v1/tickets/{ticket_id}/working")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<TicketId>,
) -> Result<Json<TicketWorking>, Refusal> {
    let working = service
        .read(&member, async |books| {
            let ticket = find(books, &member, id.0).await?;
            work_out(books, &member, &ticket).await
        })
        .await?;
    Ok(Json(working))
}

async fn work_out(books: &mut Books, member: &Member, ticket: &Ticket) -> Result<TicketWorking, Refusal> {
    let derivations = books.derivations_of(ticket.record.id).await?;
    let terms = terms_by_id(books, derivations.iter().map(|derivation| derivation.terms)).await?;
    let mut pieces = Vec::new();
    for derivation in &derivations {
        let contract = books.contract(derivation.contract).await?;
        let contract = contract.ok_or_else(|| Refusal::not_found("contract", derivation.contract))?;
        if member.mill.is_some_and(|mill| contract.party != ContractParty::Mill(mill)) {
            continue;
        }
        if let Some(terms) = terms.get(&derivation.terms) {
            pieces.extend(under(ticket, derivation, terms, contract.party)?);
        }
    }
    Ok(TicketWorking { ticket_id: ticket.record.id, pieces })
}

fn under(
    ticket: &Ticket,
    derivation: &Derivation,
    terms: &Terms,
    party: ContractParty,
) -> Result<Vec<PieceWorking>, Refusal> {
    let Some(work) = parties(&ticket.record)?.into_iter().find(|one| one.party == party) else {
        return Ok(Vec::new());
    };
    let outcomes = scaling_ticket::with_working(&ticket.record, &work, &terms.practice);
    Ok((1_u16..)
        .zip(outcomes)
        .filter_map(|(number, outcome)| outcome.map(|outcome| (number, outcome)))
        .map(|(number, outcome)| PieceWorking {
            piece: number,
            contract_id: derivation.contract,
            terms_id: derivation.terms,
            cannot: outcome.as_ref().err().map(ToString::to_string),
            scaled: outcome.ok(),
        })
        .collect())
}
