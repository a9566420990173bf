//! Lists the voided numbers of a scale book.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use wire::{Code, Listing, Name, VoidedNumbersView};

use super::gaps::find;
use super::void::view;
use crate::http::caller::Member;
use crate::http::listing::{InList, NoFilter, PageQuery, Shown};
use crate::http::operation::{Effect, Operation, YARD_AND_BOOKS};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_voided_numbers",
    method: Method::GET,
    path: "/v1/scale-books/{book}/voided-numbers",
    access: YARD_AND_BOOKS,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// List the voided numbers of a scale book, each with its reason
#[utoipa::path(
    tag = "tickets",
    operation_id = "list_voided_numbers",
    params(("book" = Name, Path, description = "The scale book."), PageQuery),
    responses((status = 200, description = "A page of voided numbers, oldest said first.",
               body = Listing<VoidedNumbersView>))
)]
#[get("/v1/scale-books/{book}/voided-numbers")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    book: InPath<Name>,
    list: InList<NoFilter>,
) -> Result<Shown<Listing<VoidedNumbersView>>, Refusal> {
    let page = list.page()?;
    let found = service
        .read(&member, async |books| {
            find(books, book.0.as_str()).await?;
            Ok::<_, Refusal>(books.voided_numbers(book.0.as_str(), page).await?)
        })
        .await?;
    let items = found.into_iter().map(view).collect();
    Ok(list.answer(items, |item: &VoidedNumbersView| item.voided_numbers_id))
}
