//! Posts a scale ticket.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use storage::{Books, Correction};
use wire::{Code, TicketCreate, TicketView};

use super::show::{new_view, whole_view};
use crate::books::accepting::{Acceptor, Taken, take_in};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{AuditMark, Filing, Kept};
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
    refusals: &[
        Code::NamesMissingRecord,
        Code::NumberVoided,
        Code::TicketDiffers,
        Code::TicketInconsistent,
        Code::TooLarge,
    ],
};

/// Post a scale ticket
///
/// Book and number are its identity. The same ticket sent again, by the same or another hand, changes nothing and is
/// answered 200 with the header `Replayed: true`; another ticket with the same number is refused, naming what
/// differs. An accepted ticket is scaled under every contract it touches, and what nothing pays for is listed in
/// `unpriced`.
///
/// A device may say by its own clock when the ticket was scaled and when it was sent (`measured_at`, `sent_at`). Both are
/// kept and trusted with nothing; a ticket sent again with another `sent_at` is the same ticket.
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
    let mark = filing.mark();
    if filing.is_rehearsal() {
        return filing
            .keep(&service, &member, async |books| {
                accept(books, &service, (&member, mark), &body.0, None, "").await
            })
            .await;
    }
    let (kept, _, overtaken) = take_in(&service, &member, mark, &[&body.0], async |books, acceptor| {
        Ok(match acceptor.take(books, 0, &body.0, None, "").await? {
            // Nothing needs to be read back: it is what is about to be written.
            Taken::New(new) => (Kept::entered(&new.entry, new_view(&new, acceptor)?), vec![*new]),
            Taken::Before(before) => (Kept::before(whole_view(books, &before, None).await?), Vec::new()),
        })
    })
    .await?;
    let Some(overtaken) = overtaken.into_values().next() else { return Filing::answer(&kept) };
    let before = overtaken?;
    let view = service.read(&member, async |books| whole_view(books, &before, None).await).await?;
    Filing::answer(&Kept::before(view))
}

/// Takes one ticket into the books, with its audit entry.
///
/// # Errors
///
/// [`Code::TicketInconsistent`], [`Code::TicketDiffers`], [`Code::TicketCorrected`],
/// [`Code::NamesMissingRecord`], [`Code::NumberVoided`], [`Code::TooLarge`]; nothing is kept then.
pub async fn accept(
    books: &mut Books,
    service: &Service,
    (member, mark): (&Member, AuditMark),
    sent: &TicketCreate,
    corrects: Option<Correction>,
    pointer: &str,
) -> Result<Kept<TicketView>, Refusal> {
    let acceptor = Acceptor::open(books, service, member, mark, &[sent]).await?;
    let new = match acceptor.take(books, 0, sent, corrects, pointer).await? {
        Taken::New(new) => new,
        Taken::Before(before) => return Ok(Kept::before(whole_view(books, &before, None).await?)),
    };
    match Acceptor::write(books, std::slice::from_ref(&new)).await?.remove(&new.record.id) {
        // Nothing needs to be read back: it is what was just written.
        None => Ok(Kept::entered(&new.entry, new_view(&new, &acceptor)?)),
        Some(overtaken) => Ok(Kept::before(whole_view(books, &*overtaken?, None).await?)),
    }
}
