//! Follows a ticket up to the pay: for each piece and task, whether and where it was paid.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, get};
use kernel::TicketId;
use wire::{Code, TicketExplanation};

use super::show::find;
use crate::books::explaining::explain_ticket;
use crate::http::caller::Member;
use crate::http::explaining::FormatQuery;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::parameters::{InPath, InQuery};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "explain_ticket",
    method: Method::GET,
    path: "/v1/tickets/{ticket_id}/explanation",
    access: WHOLE_BOOKS_AND_MILL,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// Follow a ticket up to the pay
///
/// For each piece and each task: what the contracts' terms make of it, with every step; which rates count it, with the
/// piece's own part of the quantity and the exact money that brings; and every posted line that counted it or took it
/// back. What is open tells the week that can settle it, what is unpriced or set aside tells why, and a corrected ticket
/// tells which one took its place. A mill sees what was delivered to it, under its own contract.
#[utoipa::path(
    tag = "tickets",
    operation_id = "explain_ticket",
    params(("ticket_id" = TicketId, Path, description = "The ticket."), FormatQuery),
    responses((status = 200, description = "The explanation.",
               content((TicketExplanation = "application/json"), (String = "text/plain"))))
)]
#[get("/v1/tickets/{ticket_id}/explanation")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<TicketId>,
    query: InQuery<FormatQuery>,
) -> Result<HttpResponse, Refusal> {
    let explained = service
        .read(&member, async |books| {
            let ticket = find(books, &member, id.0).await?;
            explain_ticket(books, &ticket, member.mill, None).await
        })
        .await?;
    Ok(query.0.answer(&explained, client::text::ticket_explanation))
}
