//! Corrects a ticket by another that takes its place.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::TicketId;
use storage::Correction;
use wire::{Code, CorrectionCreate, TicketView};

use super::post::accept;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::Filing;
use crate::http::operation::{Effect, Operation, RECORDING};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "correct_ticket",
    method: Method::POST,
    path: "/v1/tickets/{ticket_id}/corrections",
    access: RECORDING,
    effect: Effect::Named,
    refusals: &[
        Code::NotFound,
        Code::NamesMissingRecord,
        Code::NumberVoided,
        Code::TicketCorrected,
        Code::TicketDiffers,
        Code::TicketInconsistent,
        Code::TooLarge,
    ],
};

/// Correct a ticket by another that takes its place
///
/// Both stay readable, with the reason. What it changes in a week already posted comes as an adjustment in the open
/// week. A correction without pieces voids the ticket.
#[utoipa::path(
    tag = "tickets",
    operation_id = "correct_ticket",
    params(("ticket_id" = TicketId, Path, description = "The wrong ticket.")),
    request_body = CorrectionCreate,
    responses(
        (status = 201, description = "Accepted.", body = TicketView),
        (status = 200, description = "It was accepted before; nothing has changed.", body = TicketView,
         headers(("Replayed" = String, description = "Always `true`.")))
    )
)]
#[post("/v1/tickets/{ticket_id}/corrections")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    wrong: InPath<TicketId>,
    body: Body<CorrectionCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    let mark = filing.mark();
    let correction = Correction { of: wrong.0, reason: sent.reason.as_str().to_owned() };
    filing
        .keep(&service, &member, async |books| {
            let found = books.ticket(wrong.0).await?;
            let found = found.ok_or_else(|| Refusal::not_found("ticket", wrong.0))?;
            let answer =
                accept(books, &service, (&member, mark), &sent.ticket, Some(correction), "/ticket").await;
            // Said again with the name of the ticket to correct instead.
            match (answer, found.corrected_by) {
                (Err(refusal), Some(by)) if refusal.problem.code == Code::TicketCorrected => {
                    Err(Refusal::new(Code::TicketCorrected, format!("ticket {by} has taken its place")))
                }
                (answer, _) => answer,
            }
        })
        .await
}
