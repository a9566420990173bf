//! Posts a scale ticket.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use storage::{Books, Correction};
use wire::{Code, TicketCreate, TicketView};

use super::show::whole_view;
use crate::books::accepting::{Accepted, Acceptor};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, Operation, RECORDING};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "post_ticket",
    method: Method::POST,
    path: "/v1/tickets",
    access: RECORDING,
    effect: Effect::Named,
    refusals: &[Code::NamesMissingRecord, Code::TicketDiffers, Code::TicketInconsistent, Code::TooLarge],
};

/// Post a scale ticket
///
/// Book and number are its identity. The same ticket sent again, by the same or another hand, changes nothing and is
/// answered 200 with the header `Replayed: true`; another ticket with the same number is refused, naming what
/// differs. An accepted ticket is scaled under every contract it touches, and what nothing pays for is listed in
/// `unpriced`.
#[utoipa::path(
    tag = "tickets",
    operation_id = "post_ticket",
    request_body = TicketCreate,
    responses(
        (status = 201, description = "Accepted.", body = TicketView),
        (status = 200, description = "It was accepted before; nothing has changed.", body = TicketView,
         headers(("Replayed" = String, description = "Always `true`.")))
    )
)]
#[post("/v1/tickets")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<TicketCreate>,
) -> Result<HttpResponse, Refusal> {
    filing
        .keep(&service, &member, async |books| {
            let (new, view) = accept(books, &service, &member, &body.0, None, "").await?;
            Ok(Kept::new_if(new, view.ticket_id, view))
        })
        .await
}

/// Takes one ticket into the books; answers whether it is new there.
///
/// # Errors
///
/// What [`Acceptor::accept`] answers.
pub async fn accept(
    books: &mut Books,
    service: &Service,
    member: &Member,
    sent: &TicketCreate,
    corrects: Option<Correction>,
    pointer: &str,
) -> Result<(bool, TicketView), Refusal> {
    let mut acceptor = Acceptor::open(books, service, member).await?;
    let (new, ticket) = match acceptor.accept(books, sent, corrects, pointer).await? {
        Accepted::New { ticket, .. } => {
            let stored = books.ticket(ticket).await?;
            (true, stored.ok_or_else(|| Refusal::not_found("ticket", ticket))?)
        }
        Accepted::Before(ticket) => (false, *ticket),
    };
    Ok((new, whole_view(books, &ticket, None).await?))
}
