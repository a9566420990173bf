//! Files a check scale.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use wire::{CheckScaleCreate, CheckScaleView, Code};

use crate::books::checking::{reading, showing};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, Operation, RECORDING};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_check_scale",
    method: Method::POST,
    path: "/v1/check-scales",
    access: RECORDING,
    effect: Effect::Keyed,
    refusals: &[
        Code::NamesMissingRecord,
        Code::CheckScaleInconsistent,
        Code::CheckerIsScaler,
        Code::TooLarge,
    ],
};

/// File a check scale
///
/// A sample of a lot, scaled again by somebody who is not its scaler. Nothing that was scaled or paid changes by it: read
/// what it comes to with `GET /v1/check-scales/{check_scale_id}`.
#[utoipa::path(
    tag = "check scales",
    operation_id = "file_check_scale",
    request_body = CheckScaleCreate,
    responses((status = 201, description = "Filed.", body = CheckScaleView))
)]
#[post("/v1/check-scales")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<CheckScaleCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    filing
        .keep(&service, &member, async |books| {
            // Nobody corrects a sampled ticket meanwhile.
            books.close_to_others(&service.ids).await?;
            let (standard, record) = reading::record(books, &sent, &service, &member).await?;
            books.add_check_scale(&record).await?;
            let filed = books.check_scale(record.id).await?;
            let filed = filed.ok_or_else(|| Refusal::not_found("check scale", record.id))?;
            Ok(Kept::new(record.id, showing::check_scale(&filed, &standard.contract)?))
        })
        .await
}
