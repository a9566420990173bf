//! Signs in by what an OpenID Connect issuer says.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, post};
use tracing_actix_web::RequestId;
use wire::{Code, ExternalSignInCreate, SignedIn};

use crate::access::audit::{self, Author};
use crate::access::sessions;
use crate::http::body::Body;
use crate::http::operation::{Access, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "sign_in_externally",
    method: Method::POST,
    path: "/v1/sign-in/external",
    access: Access::Open,
    effect: Effect::LetIn,
    refusals: &[Code::NoExternalSignIn, Code::ExternalSignInRefused],
};

/// Sign in by somebody else's word
///
/// With an identity token of the OpenID Connect issuer that this service trusts, made out to it and at most ten minutes
/// old, for the account that the manager bound to the issuer's subject.
#[utoipa::path(
    tag = "access",
    operation_id = "sign_in_externally",
    request_body = ExternalSignInCreate,
    responses((status = 200, description = "Signed in.", body = SignedIn))
)]
#[post("/v1/sign-in/external")]
pub async fn handle(
    service: Data<Service>,
    request_id: RequestId,
    body: Body<ExternalSignInCreate>,
) -> Result<HttpResponse, Refusal> {
    let sent = body.0;
    let issuer = service.external.as_ref().ok_or_else(|| {
        Refusal::new(Code::NoExternalSignIn, "no OpenID Connect issuer is set for this service")
    })?;
    let name = issuer.check(sent.id_token.reveal()).await?;
    let signed_in = service
        .store
        .write(sent.outfit_id, async |books| {
            let found = books.account_known_as(&name).await?.filter(|state| state.closed.is_none());
            let account = found.ok_or_else(|| {
                Refusal::new(
                    Code::ExternalSignInRefused,
                    "no open account of the outfit is bound to this subject",
                )
            })?;
            let signed_in = sessions::begin(books, &service, &account.account).await?;
            let author = Author { name: &account.account.name, role: &account.account.role };
            let request = Some(*request_id);
            audit::enter(books, &service, author, &OPERATION, signed_in.grant_id, request).await?;
            Ok::<_, Refusal>(signed_in)
        })
        .await?;
    tracing::info!(grant.id = %signed_in.grant_id, "signed in by the issuer's word");
    Ok(HttpResponse::Ok().insert_header(("Cache-Control", "no-store")).json(signed_in))
}
