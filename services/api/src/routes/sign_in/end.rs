//! Signs out.

use actix_web::http::Method;
use actix_web::post;
use actix_web::web::{Data, Json};
use storage::Stamp;
use tracing_actix_web::RequestId;
use wire::{Code, RefreshTokenSent, SignedOut};

use crate::access::audit::{self, Author};
use crate::access::secrets;
use crate::http::body::Body;
use crate::http::operation::{Access, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "sign_out",
    method: Method::POST,
    path: "/v1/sign-out",
    access: Access::Open,
    effect: Effect::LetIn,
    refusals: &[Code::RefreshRefused],
};

/// Sign out
///
/// With any refresh token of the sign-in. From this moment on its access tokens let nobody in either. Whoever is signed
/// out already is told so again.
#[utoipa::path(
    tag = "access",
    operation_id = "sign_out",
    request_body = RefreshTokenSent,
    responses((status = 200, description = "Signed out.", body = SignedOut))
)]
#[post("/v1/sign-out")]
pub async fn handle(
    service: Data<Service>,
    request_id: RequestId,
    body: Body<RefreshTokenSent>,
) -> Result<Json<SignedOut>, Refusal> {
    let sent = body.0.refresh_token;
    let refused = || Refusal::new(Code::RefreshRefused, "the refresh token is not one of this service");
    let outfit = secrets::outfit_of_refresh_token(sent.reveal()).ok_or_else(refused)?;
    let hash = secrets::hash(sent.reveal());
    let grant_id = service
        .store
        .write(outfit, async |books| {
            let known = books.refresh_token(&hash).await?.ok_or_else(refused)?;
            let state = books.grant(known.token.grant).await?.ok_or_else(refused)?;
            let grant = state.grant;
            if state.revoked.is_none() {
                let made = Stamp { at: service.clock.now(), by: grant.subject.clone() };
                books.revoke(grant.id, "signed out", &made).await?;
                let author = Author { name: &grant.subject, role: &grant.role };
                audit::enter(books, &service, author, &OPERATION, grant.id, Some(*request_id)).await?;
            }
            Ok::<_, Refusal>(grant.id)
        })
        .await?;
    tracing::info!(grant.id = %grant_id, "signed out");
    Ok(Json(SignedOut { grant_id }))
}
