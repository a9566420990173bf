//! Files what the outfit pays by the hour beside the pieces.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use storage::WageTermsFiled as Filed;
use wire::{WageTermsCreate, WageTermsFiled};

use super::list::view;
use crate::books::caution::CAUTION;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_wage_terms",
    method: Method::POST,
    path: "/v1/wage-terms",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[],
};

/// File wage terms
///
/// What is paid by the hour beside the pieces: a guarantee, a minimum, pay for rest, a premium for overtime. Weeks
/// already posted that fall under them are stated again; the difference comes in the open week.
#[utoipa::path(
    tag = "pay",
    operation_id = "file_wage_terms",
    request_body = WageTermsCreate,
    responses((status = 201, description = "Filed.", body = WageTermsFiled))
)]
#[post("/v1/wage-terms")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<WageTermsCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    filing
        .keep(&service, &member, async |books| {
            books.close_to_others(&service.ids).await?;
            let mut filed = Filed {
                id: service.ids.make(),
                effective_from: sent.effective_from,
                revision: 0,
                terms: sent.terms,
                filed: member.stamp(service.clock.as_ref()),
            };
            filed.revision = books.add_wage_terms(&filed).await?;
            let id = filed.id;
            Ok(Kept::new(id, WageTermsFiled { wage_terms: view(filed), caution: CAUTION.to_owned() }))
        })
        .await
}
