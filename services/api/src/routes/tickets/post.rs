//! Posts a scale ticket.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use storage::{Books, Correction, ScaleTicket};
use wire::{Code, TicketCreate, TicketView};

use super::show::whole_view;
use crate::books::deriving::derive;
use crate::books::reading_ticket::{Acceptance, differences, record};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, Operation, RECORDING};
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
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

/// Takes a ticket into the books; answers whether it is new there.
///
/// # Errors
///
/// [`Code::TicketInconsistent`], [`Code::TicketDiffers`], [`Code::TicketCorrected`], [`Code::NamesMissingRecord`],
/// [`Code::TooLarge`]; nothing is kept then.
pub async fn accept(
    books: &mut Books,
    service: &Service,
    member: &Member,
    sent: &TicketCreate,
    corrects: Option<Correction>,
    pointer: &str,
) -> Result<(bool, TicketView), Refusal> {
    books.enter_records().await?;
    let outfit = own(books).await?;
    let now = service.clock.now();
    let acceptance = Acceptance {
        id: service.ids.make(),
        stamp: member.stamp(service.clock.as_ref()),
        today: outfit.time_zone.to_datetime(now).date(),
        corrects,
    };
    let ticket = record(sent, acceptance, pointer)?;
    check_crews(books, &ticket).await?;
    if !books.add_ticket(&ticket).await? {
        return replay(books, &ticket).await.map(|view| (false, view));
    }
    let in_force = books.terms_in_force(ticket.job, ticket.scaled_on).await?;
    let derived = derive(&ticket, &in_force, &service.ids, now)?;
    for derivation in &derived.derivations {
        books.add_derivation(derivation, ticket.scaled_on).await?;
    }
    books.add_unpriced(&derived.unpriced).await?;
    let stored = books.ticket(ticket.id).await?.ok_or_else(|| Refusal::not_found("ticket", ticket.id))?;
    Ok((true, whole_view(books, &stored, None).await?))
}

/// The crews stand inside the ticket's document, where the database cannot hold them to the outfit's own.
async fn check_crews(books: &mut Books, ticket: &ScaleTicket) -> Result<(), Refusal> {
    let mut crews: Vec<_> = ticket.work.iter().map(|work| work.crew).collect();
    crews.sort_unstable();
    crews.dedup();
    for crew in crews {
        if books.crew(crew).await?.is_none() {
            return Err(Refusal::new(Code::NamesMissingRecord, format!("there is no crew {crew}")));
        }
    }
    Ok(())
}

async fn replay(books: &mut Books, sent: &ScaleTicket) -> Result<TicketView, Refusal> {
    let found = books.ticket_in_book(&sent.book, sent.number).await?;
    let accepted = found.ok_or_else(|| Refusal::internal("a ticket is in the way and cannot be read"))?;
    if accepted.record.fingerprint == sent.fingerprint {
        return whole_view(books, &accepted, None).await;
    }
    let name = format!("ticket {} {}", sent.book, sent.number);
    let detail = format!("{name} was accepted on {} with other content", accepted.record.accepted.at);
    Err(Refusal::new(Code::TicketDiffers, detail).at(differences(&accepted.record, sent)?))
}
