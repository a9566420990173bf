//! Lists the numbers that are missing from a scale book.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use storage::{Books, Gap, Neighbour};
use wire::{Code, GapView, Listing, Name, NumberBeside};

use crate::http::caller::Member;
use crate::http::listing::{InList, NoFilter, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, YARD_AND_BOOKS};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_gaps",
    method: Method::GET,
    path: "/v1/scale-books/{book}/gaps",
    access: YARD_AND_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// List the numbers missing from a scale book, lowest first
///
/// Each gap with the numbers on either side of it, so that somebody can go and look: whose tickets they are, and of which
/// days. What will never come is voided with a reason and is missing no more.
#[utoipa::path(
    tag = "tickets",
    operation_id = "list_gaps",
    params(("book" = Name, Path, description = "The scale book."), PageQuery),
    responses((status = 200, description = "A page of gaps.", body = Listing<GapView>))
)]
#[get("/v1/scale-books/{book}/gaps")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    book: InPath<Name>,
    list: InList<NoFilter>,
) -> Result<Shown<Listing<GapView>>, Refusal> {
    let (after, limit) = list.page_by_text()?;
    let after = after.map(|number| number.parse::<i64>()).transpose();
    let after = after.map_err(|_| Refusal::new(Code::WrongAddress, "`after` holds no number of a book"))?;
    let found = service
        .read(&member, async |books| {
            find(books, book.0.as_str()).await?;
            Ok::<_, Refusal>(books.gaps(book.0.as_str(), after.unwrap_or(0), limit).await?)
        })
        .await?;
    let items = found.into_iter().map(view).collect();
    Ok(list.answer_by_text(items, |item: &GapView| item.before.number.to_string()))
}

/// Refuses a book of which no number was used or voided.
///
/// # Errors
///
/// [`Code::NotFound`].
pub async fn find(books: &mut Books, book: &str) -> Result<(), Refusal> {
    let found = books.scale_books(Some(book), None, 1).await?;
    if found.is_empty() { Err(Refusal::not_found("scale book", book)) } else { Ok(()) }
}

fn view(gap: Gap) -> GapView {
    GapView {
        from: gap.before.number.saturating_add(1),
        to: gap.after.number.saturating_sub(1),
        before: beside(gap.before),
        after: beside(gap.after),
    }
}

fn beside(neighbour: Neighbour) -> NumberBeside {
    NumberBeside {
        number: neighbour.number,
        ticket_id: neighbour.ticket.map(|(id, _)| id),
        scaled_on: neighbour.ticket.map(|(_, day)| day),
    }
}
