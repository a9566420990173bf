//! Exchanges a refresh token for the next pair of tokens.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use tracing_actix_web::RequestId;
use wire::{Code, RefreshTokenSent, Role, SignedIn};

use crate::access::audit::{self, Author};
use crate::access::secrets;
use crate::access::sessions::{self, Refreshed};
use crate::http::body::Body;
use crate::http::operation::{Access, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "refresh_sign_in",
    method: Method::POST,
    path: "/v1/sign-in/refresh",
    access: Access::Open,
    effect: Effect::LetIn,
    refusals: &[Code::RefreshRefused],
};

/// Stay signed in
///
/// Exchanges a refresh token for the next pair of tokens. Each is good once; one that is used again is taken for stolen,
/// and the sign-in is revoked. Only when the answer was lost may the same be sent again: within two minutes, as long as
/// nothing was done with the answer, it is answered with the same refresh token.
#[utoipa::path(
    tag = "access",
    operation_id = "refresh_sign_in",
    request_body = RefreshTokenSent,
    responses((status = 200, description = "The next pair of tokens.", body = SignedIn))
)]
#[post("/v1/sign-in/refresh")]
pub async fn handle(
    service: Data<Service>,
    request_id: RequestId,
    body: Body<RefreshTokenSent>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0.refresh_token;
    let outfit = secrets::outfit_of_refresh_token(sent.reveal())
        .ok_or_else(|| Refusal::new(Code::RefreshRefused, "the refresh token is not one of this service"))?;
    let refreshed = service
        .store
        .write(outfit, async |books| {
            let refreshed = sessions::refresh(books, &service, &sent).await?;
            if let Refreshed::Reused(grant) = &refreshed {
                let author = Author { name: sessions::SERVICE, role: Role::Operator.name() };
                audit::enter(books, &service, author, &OPERATION, *grant, Some(*request_id)).await?;
            }
            Ok::<_, Refusal>(refreshed)
        })
        .await?;
    match refreshed {
        Refreshed::Next(signed_in) => {
            Ok(HttpResponse::Ok().insert_header(("Cache-Control", "no-store")).json(signed_in))
        }
        Refreshed::Reused(grant) => {
            tracing::warn!(grant.id = %grant, "a refresh token was used twice; the sign-in is revoked");
            Err(Refusal::new(
                Code::RefreshRefused,
                "the refresh token had been used before; whoever signed in is signed out, since it may be stolen",
            ))
        }
    }
}
