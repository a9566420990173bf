//! Lists the scale books.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use storage::ScaleBook;
use wire::{Listing, ScaleBookView};

use crate::http::caller::Member;
use crate::http::listing::{InList, NoFilter, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, YARD_AND_BOOKS};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_scale_books",
    method: Method::GET,
    path: "/v1/scale-books",
    access: YARD_AND_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// List the scale books, by name, with how many numbers are missing
///
/// A number is missing when it lies between two that were used or voided and is neither. What lies before the first and
/// after the last of a book nobody knows.
#[utoipa::path(
    tag = "tickets",
    operation_id = "list_scale_books",
    params(PageQuery),
    responses((status = 200, description = "A page of books.", body = Listing<ScaleBookView>))
)]
#[get("/v1/scale-books")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InList<NoFilter>,
) -> Result<Shown<Listing<ScaleBookView>>, Refusal> {
    let (after, limit) = list.page_by_text()?;
    let found = service
        .read(&member, async |books| {
            Ok::<_, Refusal>(books.scale_books(None, after.as_deref(), limit).await?)
        })
        .await?;
    let items = found.into_iter().map(view).collect();
    Ok(list.answer_by_text(items, |item: &ScaleBookView| item.book.clone()))
}

fn view(book: ScaleBook) -> ScaleBookView {
    let numbers = book.last.saturating_sub(book.first).saturating_add(1);
    ScaleBookView {
        missing: numbers.saturating_sub(book.tickets).saturating_sub(book.voided),
        book: book.book,
        first_number: book.first,
        last_number: book.last,
        tickets: book.tickets,
        voided: book.voided,
    }
}
