//! Revokes access.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use kernel::GrantId;
use storage::{Books, GrantState};
use wire::{AccessGrantView, Code, RevocationCreate};

use crate::access::grants::view;
use crate::http::body::Body;
use crate::http::caller::Member;
use crate::http::filing::{Filing, Kept};
use crate::http::operation::{Effect, MANAGING, Operation};
use crate::http::parameters::InPath;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "revoke_access",
    method: Method::POST,
    path: "/v1/access-grants/{grant_id}/revocation",
    access: MANAGING,
    effect: Effect::Keyed,
    refusals: &[Code::NotFound, Code::EndedAlready],
};

/// Revoke access
///
/// From this moment on it lets nobody in, whatever tokens were made under it.
#[utoipa::path(
    tag = "access",
    operation_id = "revoke_access",
    params(("grant_id" = GrantId, Path, description = "What was granted.")),
    request_body = RevocationCreate,
    responses((status = 201, description = "Revoked.", body = AccessGrantView))
)]
#[post("/v1/access-grants/{grant_id}/revocation")]
pub async fn handle(
    member: Member,
    service: Data<Service>,
    filing: Filing,
    path: InPath<GrantId>,
    body: Body<RevocationCreate>,
) -> Result<HttpResponse, Refusal> {
    let made = member.stamp(service.clock.as_ref());
    filing
        .keep(&service, &member, async |books| {
            let _there = find(books, path.0).await?;
            books.revoke(path.0, body.0.reason.as_str(), &made).await?;
            tracing::info!(grant.id = %path.0, "access revoked");
            Ok(Kept::new(path.0, view(find(books, path.0).await?, made.at)?))
        })
        .await
}

async fn find(books: &mut Books, id: GrantId) -> Result<GrantState, Refusal> {
    books.grant(id).await?.ok_or_else(|| Refusal::not_found("access grant", id))
}
