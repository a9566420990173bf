//! Follows one piece of a ticket up to the pay.

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
    id: "explain_piece",
    method: Method::GET,
    path: "/v1/tickets/{ticket_id}/pieces/{piece_number}/explanation",
    access: WHOLE_BOOKS_AND_MILL,
    effect: Effect::None,
    refusals: &[Code::NotFound, Code::TooLarge],
};

/// Follow a piece up to the pay
///
/// As the explanation of its ticket, for this piece alone.
#[utoipa::path(
    tag = "tickets",
    operation_id = "explain_piece",
    params(
        ("ticket_id" = TicketId, Path, description = "The ticket."),
        ("piece_number" = u16, Path, description = "The piece's place on it, from 1."),
        FormatQuery
    ),
    responses((status = 200, description = "The explanation.",
               content((TicketExplanation = "application/json"), (String = "text/plain"))))
)]
#[get("/v1/tickets/{ticket_id}/pieces/{piece_number}/explanation")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    place: InPath<(TicketId, u16)>,
    query: InQuery<FormatQuery>,
) -> Result<HttpResponse, Refusal> {
    let (id, piece) = place.0;
    let explained = service
        .read(&member, async |books| {
            let ticket = find(books, &member, id).await?;
            let on_it = usize::from(piece) <= ticket.record.pieces.len() && piece > 0;
            if !on_it {
                return Err(Refusal::not_found("piece", format!("{piece} of ticket {id}")));
            }
            explain_ticket(books, &ticket, member.mill, Some(piece)).await
        })
        .await?;
    Ok(query.0.answer(&explained, client::text::ticket_explanation))
}
