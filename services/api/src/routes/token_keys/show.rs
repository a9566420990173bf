//! Shows the keys that access tokens are signed with.

use actix_web::http::Method;
use actix_web::web::Data;
use actix_web::{HttpResponse, get};
use wire::TokenKeys;

use crate::http::operation::{Access, Effect, Operation};
use crate::http::refusal::Refusal;
use crate::service::Service;

/// What it is.
pub static OPERATION: Operation = Operation {
    id: "show_token_keys",
    method: Method::GET,
    path: "/.well-known/jwks.json",
    access: Access::Open,
    effect: Effect::None,
    refusals: &[],
};

/// List the keys that access tokens are checked with
///
/// A JSON Web Key Set (RFC 7517) of Ed25519 keys (RFC 8037): the one that signs now, then those whose tokens are still
/// good. Read it again when a token names a key that is not in it. A good signature does not say that the access still
/// stands; only the service knows that.
#[utoipa::path(
    tag = "access",
    operation_id = "show_token_keys",
    responses((status = 200, description = "The keys.", body = TokenKeys))
)]
#[get("/.well-known/jwks.json")]
pub async fn handle(service: Data<Service>) -> Result<HttpResponse, Refusal> {
    let keys = service.tokens.published();
    Ok(HttpResponse::Ok().insert_header(("Cache-Control", "public, max-age=300")).json(keys))
}
