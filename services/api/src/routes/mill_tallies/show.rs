//! Shows a mill tally.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::{Data, Json};
use kernel::MillTallyId;
use storage::MillTallyState;
use wire::{Code, MillTallyView};

use crate::books::outside::overrun::{TallyNames, view};
use crate::http::caller::Member;
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS_AND_MILL};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_mill_tally",
    method: Method::GET,
    path: "/v1/mill-tallies/{mill_tally_id}",
    access: WHOLE_BOOKS_AND_MILL,
    effect: Effect::None,
    refusals: &[Code::NotFound],
};

/// Show a mill tally
///
/// A mill sees its own.
#[utoipa::path(
    tag = "audit",
    operation_id = "show_mill_tally",
    params(("mill_tally_id" = MillTallyId, Path, description = "The tally.")),
    responses((status = 200, description = "The tally.", body = MillTallyView))
)]
#[get("/v1/mill-tallies/{mill_tally_id}")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    id: InPath<MillTallyId>,
) -> Result<Json<MillTallyView>, Refusal> {
    let shown = service
        .read(&member, async |books| {
            let sees = |state: &MillTallyState| member.mill.is_none_or(|mill| mill == state.tally.mill);
            let found = books.mill_tally(id.0).await?.filter(sees);
            let found = found.ok_or_else(|| Refusal::not_found("mill tally", id.0))?;
            view(found, &TallyNames::read(books).await?)
        })
        .await?;
    Ok(Json(shown))
}
