//! Voids numbers of a scale book that will never come.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use storage::{Books, VoidedNumbers};
use wire::{Code, Name, VoidedNumbersCreate, VoidedNumbersView};

use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, Operation, RECORDING};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "void_numbers",
    method: Method::POST,
    path: "/v1/scale-books/{book}/voided-numbers",
    access: RECORDING,
    effect: Effect::Keyed,
    refusals: &[Code::NumberUsed, Code::NumberVoided],
};

/// Void numbers of a scale book that will never come
///
/// A spoiled sheet, a book lost in the river: the numbers are missing no more, and a ticket that is posted under one of them
/// later is refused. Numbers that a ticket has, or that were voided before, cannot be voided.
#[utoipa::path(
    tag = "tickets",
    operation_id = "void_numbers",
    params(("book" = Name, Path, description = "The scale book.")),
    request_body = VoidedNumbersCreate,
    responses((status = 201, description = "Voided.", body = VoidedNumbersView))
)]
#[post("/v1/scale-books/{book}/voided-numbers")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    book: InPath<Name>,
    body: Body<VoidedNumbersCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    let numbers = VoidedNumbers {
        id: service.ids.make(),
        book: book.0.as_str().to_owned(),
        first: sent.from.into(),
        last: sent.to.unwrap_or(sent.from).into(),
        reason: sent.reason.as_str().to_owned(),
        made: member.stamp(service.clock.as_ref()),
    };
    check(&numbers)?;
    filing
        .keep(&service, &member, async |books| {
            void(books, &service, &numbers).await?;
            Ok(Kept::new(numbers.id, view(numbers)))
        })
        .await
}

fn check(numbers: &VoidedNumbers) -> Result<(), Refusal> {
    let (pointer, detail) = if numbers.first == 0 {
        ("#/from", "a scale book's numbers begin at 1".to_owned())
    } else if numbers.last < numbers.first {
        ("#/to", format!("{} comes before {}: exchange them", numbers.last, numbers.first))
    } else {
        return Ok(());
    };
    let problem = wire::FieldProblem { pointer: pointer.to_owned(), detail };
    Err(Refusal::new(Code::WrongForm, "the numbers do not fit together").at(vec![problem]))
}

/// While the books are closed to others no ticket can come in under one of the numbers.
async fn void(books: &mut Books, service: &Service, numbers: &VoidedNumbers) -> Result<(), Refusal> {
    books.close_to_others(&service.ids).await?;
    if let Some(used) = books.used_among(&numbers.book, numbers.first, numbers.last).await? {
        let detail = format!("there is a ticket {} {used}", numbers.book);
        return Err(Refusal::new(Code::NumberUsed, detail));
    }
    if let Some(other) = books.voided_among(&numbers.book, numbers.first, numbers.last).await? {
        let detail = format!(
            "{} {} to {} were voided on {}: {}",
            other.book, other.first, other.last, other.made.at, other.reason
        );
        return Err(Refusal::new(Code::NumberVoided, detail));
    }
    Ok(books.add_voided_numbers(numbers).await?)
}

/// Voided numbers as they are shown.
pub fn view(numbers: VoidedNumbers) -> VoidedNumbersView {
    VoidedNumbersView {
        voided_numbers_id: numbers.id,
        book: numbers.book,
        from: numbers.first,
        to: numbers.last,
        reason: numbers.reason,
        made_by: numbers.made.by,
        made_at: numbers.made.at,
    }
}
