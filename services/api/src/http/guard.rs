//! The guard at the door: lets in whoever the operation's declaration lets in, and nobody else; and puts every
//! refusal, whoever made it, into a problem document.

use std::panic::AssertUnwindSafe;

use actix_web::body::{EitherBody, MessageBody};
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::header::AUTHORIZATION;
use actix_web::middleware::Next;
use actix_web::web::Data;
use actix_web::{Error, HttpMessage, ResponseError};
use futures_util::FutureExt;
use tracing_actix_web::RequestId;
use wire::Code;

use super::busy;
use super::caller::Caller;
use super::matched;
use super::operation::{Access, Effect};
use super::refusal::{Refusal, causes};
use crate::access::{machine_keys, scopes, secrets};
use crate::service::Service;
use crate::telemetry;

/// Lets a request through to its operation when the caller may use it.
///
/// # Errors
///
/// Whatever the operation answers; [`Code::NoToken`], [`Code::TokenRefused`], [`Code::TokenExpired`],
/// [`Code::AccessRevoked`], [`Code::RoleNotAllowed`], [`Code::ScopeNotGranted`] or [`Code::RateLimited`] when the guard
/// keeps the caller out; [`Code::ReadOnly`] when this instance only reads and the operation does not.
pub async fn let_in(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<impl MessageBody>, Error> {
    if let Some(caller) = admit(&request).await? {
        request.extensions_mut().insert(caller);
    }
    next.call(request).await
}

/// The caller, where the operation wants to know.
async fn admit(request: &ServiceRequest) -> Result<Option<Caller>, Refusal> {
    let pattern = matched::pattern(request.request());
    telemetry::name_span(request.method(), pattern.as_deref());
    if desk::mount::is_desk(request.path()) {
        return busy::introduce_to_desk(request).map(|()| None);
    }
    let operation = matched::operation(request.request());
    // What is no operation (a wrong path or method, the documentation page) holds nobody's records.
    let Some(operation) = operation else { return busy::count(request, None).map(|()| None) };
    let service = request
        .app_data::<Data<Service>>()
        .ok_or_else(|| Refusal::internal("the service is not attached to the application"))?;
    if let Some(reading) = &service.running.reading
        && operation.effect != Effect::None
    {
        busy::count(request, None)?;
        return Err(reading.refusal());
    }
    let Access::Roles(roles) = operation.access else { return busy::count(request, None).map(|()| None) };
    let (caller, scopes) = match known(request, service).await {
        Ok(known) => known,
        Err(refusal) => {
            busy::count_stranger(request)?;
            return Err(refusal);
        }
    };
    busy::count(request, Some(&caller))?;
    if !roles.contains(&caller.role()) {
        let allowed: Vec<_> = roles.iter().map(|role| role.name()).collect();
        return Err(Refusal::new(
            Code::RoleNotAllowed,
            format!("a {} may not do this; it is open to: {}", caller.role().name(), allowed.join(", ")),
        ));
    }
    if let Some(scopes) = scopes {
        scopes::must_hold(&scopes, operation)?;
    }
    Ok(Some(caller))
}

/// Who is calling, and for the key of a machine what it is good for.
async fn known(
    request: &ServiceRequest,
    service: &Service,
) -> Result<(Caller, Option<Vec<wire::Scope>>), Refusal> {
    let bearer = bearer(request)?;
    // A machine's key says by itself that it is one; everything else is to be a token.
    if secrets::is_machine_key(bearer) {
        let (member, scopes) = machine_keys::check(service, bearer).await?;
        Ok((Caller::Member(member), Some(scopes)))
    } else {
        Ok((service.tokens.check(bearer)?, None))
    }
}

fn bearer(request: &ServiceRequest) -> Result<&str, Refusal> {
    let Some(header) = request.headers().get(AUTHORIZATION) else {
        return Err(Refusal::new(Code::NoToken, "the request has no Authorization header"));
    };
    let text = header.to_str().unwrap_or_default();
    match text.split_once(' ') {
        Some((scheme, token)) if scheme.eq_ignore_ascii_case("bearer") => Ok(token.trim()),
        _ => Err(Refusal::new(Code::TokenRefused, "the Authorization header is not of the form `Bearer …`")),
    }
}

/// Turns every refusal, every panic and every error of the framework into a problem document that carries the
/// request's id, and puts that id on every response.
///
/// # Errors
///
/// Refusals that come before an operation was reached; the framework turns them into the same documents.
pub async fn document_problems<B: MessageBody + 'static>(
    request: ServiceRequest,
    next: Next<B>,
) -> Result<ServiceResponse<EitherBody<B>>, Error> {
    // The request itself may not be kept: routing needs the only hold on it.
    let request_id = request.extensions().get::<RequestId>().map(ToString::to_string);
    let outcome = AssertUnwindSafe(next.call(request)).catch_unwind().await;
    let documented = |error: &Error| {
        let mut refusal = told(error);
        refusal.problem.request_id.clone_from(&request_id);
        refusal.log();
        refusal
    };
    match outcome {
        Ok(Ok(response)) => match response.response().error() {
            None => Ok(marked(response.map_into_left_body(), request_id.as_deref())),
            Some(error) => {
                let refusal = documented(error);
                let (request, _) = response.into_parts();
                Ok(ServiceResponse::new(request, refusal.error_response().map_into_right_body()))
            }
        },
        Ok(Err(error)) => Err(documented(&error).into()),
        Err(_) => Err(documented(&Refusal::internal("the operation panicked").into()).into()),
    }
}

/// What an error tells the caller; errors that are not ours have said all they should in their status.
fn told(error: &Error) -> Refusal {
    if let Some(refusal) = error.as_error::<Refusal>() {
        return Refusal {
            problem: refusal.problem.clone(),
            cause: refusal.cause.as_deref().map(|cause| causes(cause).into()),
            allow: refusal.allow.clone(),
            headers: refusal.headers.clone(),
        };
    }
    let status = error.as_response_error().status_code();
    match status.as_u16() {
        413 => Refusal::new(Code::BodyTooLarge, error.to_string()),
        404 => Refusal::new(Code::NoSuchPath, "nothing is served at this path"),
        400..=499 => Refusal::new(Code::WrongAddress, error.to_string()),
        _ => Refusal::internal(error.to_string()),
    }
}

fn marked<B>(mut response: ServiceResponse<B>, request_id: Option<&str>) -> ServiceResponse<B> {
    use actix_web::http::header::{HeaderName, HeaderValue};
    let headers = response.headers_mut();
    if let Some(value) = request_id.and_then(|id| HeaderValue::from_str(id).ok()) {
        headers.insert(HeaderName::from_static("request-id"), value);
    }
    headers.insert(HeaderName::from_static("x-content-type-options"), HeaderValue::from_static("nosniff"));
    response
}
