//! Lists what the outfit pays by the hour beside the pieces.

use actix_web::get;
use actix_web::http::Method;
use actix_web::web::Data;
use storage::WageTermsFiled;
use wire::{WageTermsList, WageTermsView};

use crate::books::caution::CAUTION;
use crate::http::caller::Member;
use crate::http::listing::{FormatQuery, InWhole, NoFilter, Shown};
use crate::http::operation::{Effect, Operation, WHOLE_BOOKS};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "list_wage_terms",
    method: Method::GET,
    path: "/v1/wage-terms",
    access: WHOLE_BOOKS,
    effect: Effect::None,
    refusals: &[],
};

/// List every wage terms filed, by day and revision
///
/// Of those whose day is not after the first day of a week the last in this list holds for it.
#[utoipa::path(
    tag = "pay",
    operation_id = "list_wage_terms",
    params(FormatQuery),
    responses((status = 200, description = "The wage terms.", body = WageTermsList))
)]
#[get("/v1/wage-terms")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    list: InWhole<NoFilter>,
) -> Result<Shown<WageTermsList>, Refusal> {
    let filed = service.read(&member, async |books| Ok::<_, Refusal>(books.wage_terms().await?)).await?;
    let wage_terms = filed.into_iter().map(view).collect();
    Ok(list.answer(WageTermsList { wage_terms, caution: CAUTION.to_owned() }))
}

/// Wage terms as they are shown.
pub fn view(filed: WageTermsFiled) -> WageTermsView {
    WageTermsView {
        wage_terms_id: filed.id,
        effective_from: filed.effective_from,
        revision: filed.revision,
        terms: filed.terms,
        filed_by: filed.filed.by,
        filed_at: filed.filed.at,
    }
}
