//! Sets an unpriced task of a ticket aside.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::TicketId;
use storage::SetAside;
use wire::{Code, FieldProblem, SetAsideCreate, SetAsideView};

use super::show::set_aside_view;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "set_aside",
    method: Method::POST,
    path: "/v1/tickets/{ticket_id}/set-asides",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NotFound, Code::TicketInconsistent],
};

/// Set an unpriced task of a ticket aside
///
/// A decision that it is not paid by piece rate, with the reason on record, so that it no longer holds up the week.
/// When a rate covers it later after all, it is paid.
#[utoipa::path(
    tag = "tickets",
    operation_id = "set_aside",
    params(("ticket_id" = TicketId, Path, description = "The ticket.")),
    request_body = SetAsideCreate,
    responses((status = 201, description = "Set aside.", body = SetAsideView))
)]
#[post("/v1/tickets/{ticket_id}/set-asides")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    ticket: InPath<TicketId>,
    body: Body<SetAsideCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    let made = SetAside {
        id: service.ids.make(),
        ticket: ticket.0,
        task: sent.task,
        piece: sent.piece,
        reason: sent.reason.as_str().to_owned(),
        made: member.stamp(service.clock.as_ref()),
    };
    filing
        .keep(&service, &member, async |books| {
            books.enter_records(&service.ids).await?;
            let found = books.ticket(made.ticket).await?;
            let found = found.ok_or_else(|| Refusal::not_found("ticket", made.ticket))?;
            if let Some(piece) = made.piece
                && (piece == 0 || usize::from(piece) > found.record.pieces.len())
            {
                let detail = format!("the ticket has {} pieces", found.record.pieces.len());
                let problem = FieldProblem { pointer: "#/piece".to_owned(), detail: detail.clone() };
                return Err(Refusal::new(Code::TicketInconsistent, detail).at(vec![problem]));
            }
            books.add_set_aside(&made).await?;
            Ok(Kept::new(made.id, set_aside_view(made)))
        })
        .await
}
