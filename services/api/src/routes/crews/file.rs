//! Files a crew.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::CrewId;
use wire::{Code, CrewCreate, CrewView};

use super::list::view;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{BOOKKEEPING, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "file_crew",
    method: Method::POST,
    path: "/v1/crews",
    access: BOOKKEEPING,
    effect: Effect::Keyed,
    refusals: &[Code::NameTaken],
};

/// File a crew
#[utoipa::path(
    tag = "people",
    operation_id = "file_crew",
    request_body = CrewCreate,
    responses((status = 201, description = "Filed.", body = CrewView))
)]
#[post("/v1/crews")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    body: Body<CrewCreate>,
) -> Result<HttpResponse, Refusal> {
    let id: CrewId = service.ids.make();
    let stamp = member.stamp(service.clock.as_ref());
    filing
        .keep(&service, &member, async |books| {
            books.add_crew(id, body.0.name.as_str(), &stamp).await?;
            let filed = books.crew(id).await?.ok_or_else(|| Refusal::not_found("crew", id))?;
            Ok(Kept::new(id, view(filed, Vec::new())))
        })
        .await
}
