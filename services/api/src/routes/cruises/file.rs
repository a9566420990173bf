//! Files a cruise.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use storage::{Cruise, CruiseState};
use wire::{Code, CruiseCreate, CruiseView};

use crate::books::outside::cruising::{Asked, view};
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_cruise",
    method: Method::POST,
    path: "/v1/cruises",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NamesMissingRecord, Code::CannotScale, Code::TooLarge],
};

/// File a cruise
///
/// What was measured on standing trees: plot by plot, point by point, or every tree. The answer holds the estimate for the
/// tract, by species and in all, with its sampling error. A cruise never changes: a wrong one is taken back, and another is
/// filed. Scalers do not see it, so that no scale is led by what was expected.
#[utoipa::path(
    tag = "audit",
    operation_id = "file_cruise",
    request_body = CruiseCreate,
    responses((status = 201, description = "Filed.", body = CruiseView))
)]
#[post("/v1/cruises")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<CruiseCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    let cruise = Cruise {
        id: service.ids.make(),
        job: sent.job_id,
        cruised_on: sent.cruised_on,
        cruiser: sent.cruiser.into(),
        measured: sent.measured,
        remarks: sent.remarks.map(String::from),
        made: member.stamp(service.clock.as_ref()),
    };
    filing
        .keep(&service, &member, async |books| {
            books.add_cruise(&cruise).await?;
            let (id, job) = (cruise.id, books.job(cruise.job).await?);
            let name = job.map(|job| job.name).unwrap_or_default();
            let shown = view(CruiseState { cruise, withdrawn: None }, name, Asked::default())?;
            Ok(Kept::new(id, shown))
        })
        .await
}
