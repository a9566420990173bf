//! What every request passes besides the guard: it is timed, let in only where there is room, and counted against
//! whoever sent it.

use std::net::{IpAddr, Ipv4Addr};
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};
use std::time::Instant;

use actix_web::body::{BodySize, BoxBody, MessageBody};
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::ConnectionType;
use actix_web::http::header::{CONTENT_LENGTH, HeaderName, HeaderValue, TRANSFER_ENCODING};
use actix_web::http::{Method, StatusCode};
use actix_web::middleware::Next;
use actix_web::web::{Bytes, Data};
use actix_web::{Error, HttpMessage, HttpRequest};
use wire::Code;

use super::body::BODY_LIMIT;
use super::caller::{Caller, Member};
use super::matched;
use super::refusal::Refusal;
use crate::running::admission::{Admitted, Full};
use crate::running::instance::Instance;
use crate::running::metrics::NotKept;
use crate::running::rates::{Standing, Who};
use crate::service::Service;

fn instance(request: &ServiceRequest) -> Result<std::sync::Arc<Instance>, Refusal> {
    let service = request.app_data::<Data<Service>>().map(|service| service.running.clone());
    service.ok_or_else(|| Refusal::internal("the service is not attached to the application"))
}

/// Whether it is for an operation that is answered also when there is no room for anybody else.
fn is_watching(request: &ServiceRequest) -> bool {
    matched::operation(request.request()).is_some_and(|operation| !operation.is_limited())
}

/// Times the request and tells the caller how they stand.
///
/// # Errors
///
/// Whatever the operation answers.
pub async fn time<B: MessageBody + 'static>(
    request: ServiceRequest,
    next: Next<B>,
) -> Result<ServiceResponse<B>, Error> {
    let instance = instance(&request)?;
    let method = request.method().clone();
    let operation = matched::operation(request.request());
    let began = Instant::now();
    let mut outcome = next.call(request).await;
    let status = match &outcome {
        Ok(response) => response.status(),
        Err(error) => error.as_response_error().status_code(),
    };
    let route = operation.map_or("(none)", |operation| operation.path);
    instance.metrics.answered(known(&method), route, status.as_u16(), began.elapsed());
    let replayed = outcome.as_ref().is_ok_and(|response| response.headers().contains_key("Replayed"));
    // What is new the store has counted; many tickets in one request are counted where they are taken in.
    match operation.map(|operation| operation.id) {
        Some("sign_in" | "sign_in_externally") if status == StatusCode::UNAUTHORIZED => {
            instance.metrics.sign_in_failed();
        }
        Some("post_ticket") if replayed => {
            instance.metrics.tickets_not_kept(NotKept::Replayed, 1);
        }
        Some("post_ticket") if status.is_client_error() => {
            instance.metrics.tickets_not_kept(NotKept::Refused, 1);
        }
        _ => {}
    }
    if let Ok(response) = &mut outcome {
        let standing = response.request().extensions().get::<Standing>().copied();
        for (name, value) in standing.iter().flat_map(told) {
            if let Ok(value) = HeaderValue::from_str(&value) {
                response.headers_mut().insert(HeaderName::from_static(name), value);
            }
        }
        if instance.is_draining() {
            // Whoever keeps the connection is to open the next one elsewhere.
            response.response_mut().head_mut().set_connection_type(ConnectionType::Close);
        }
    }
    outcome
}

/// The method as the semantic conventions of OpenTelemetry want it: a word that somebody made up is `_OTHER`.
fn known(method: &Method) -> &str {
    const KNOWN: [Method; 9] = [
        Method::GET,
        Method::HEAD,
        Method::POST,
        Method::PUT,
        Method::DELETE,
        Method::CONNECT,
        Method::OPTIONS,
        Method::TRACE,
        Method::PATCH,
    ];
    if KNOWN.contains(method) { method.as_str() } else { "_OTHER" }
}

/// The headers of the IETF draft "RateLimit header fields for HTTP".
fn told(standing: &Standing) -> [(&'static str, String); 2] {
    let Standing { policy, quota, left, full_in, .. } = standing;
    [
        ("ratelimit-policy", format!("\"{policy}\";q={quota};w=60")),
        ("ratelimit", format!("\"{policy}\";r={left};t={full_in}")),
    ]
}

fn overloaded(instance: &Instance, full: Full) -> Refusal {
    instance.metrics.shed(full.text());
    let mut refusal =
        Refusal::new(Code::Overloaded, "the service works on as many requests as it can take on");
    refusal.headers.push(("retry-after", instance.admission.seconds_to_wait().to_string()));
    refusal
}

/// Waits for a body without taking the place of a request that can be worked on.
///
/// # Errors
///
/// [`Code::Overloaded`] when there is no place once the body is there; whatever the waiting answers.
pub async fn aside<T>(
    request: &HttpRequest,
    waiting: impl Future<Output = Result<T, Refusal>>,
) -> Result<T, Refusal> {
    let room = request.extensions().get::<Arc<Admitted>>().cloned();
    let Some(room) = room else { return waiting.await };
    room.step_aside();
    let body = waiting.await?;
    let instance = request.app_data::<Data<Service>>().map(|service| service.running.clone());
    room.come_back().map_err(|full| match instance {
        Some(instance) => overloaded(&instance, full),
        None => Refusal::internal("the service is not attached to the application"),
    })?;
    Ok(body)
}

/// Lets a request in where there is room for it, and keeps its room until its answer is written.
///
/// # Errors
///
/// [`Code::Overloaded`] when there is no room; whatever the operation answers; [`Code::RateLimited`] when an address has
/// sent too many tokens that are not good.
pub async fn admit(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<Admission>, Error> {
    let instance = instance(&request)?;
    // What the desk asks for has its room already: that of the page it is asked for.
    if is_watching(&request) || is_own_desk(&request, &instance) {
        return Ok(next
            .call(request)
            .await?
            .map_body(|_, body| Admission { body: body.boxed(), _room: None }));
    }
    let room = instance.admission.admit(room_for(&request)).map_err(|full| overloaded(&instance, full))?;
    let room = Arc::new(room);
    request.extensions_mut().insert(room.clone());
    Ok(next.call(request).await?.map_body(|_, body| Admission { body: body.boxed(), _room: Some(room) }))
}

/// How much of its body is held in memory at the most.
fn room_for(request: &ServiceRequest) -> usize {
    let headers = request.headers();
    let told = headers.get(CONTENT_LENGTH).and_then(|value| value.to_str().ok()?.parse::<usize>().ok());
    let unknown = if headers.contains_key(TRANSFER_ENCODING) { BODY_LIMIT } else { 0 };
    told.unwrap_or(unknown).min(BODY_LIMIT)
}

/// Whether the request was sent by the desk of this very instance.
fn is_own_desk(request: &ServiceRequest, instance: &Instance) -> bool {
    request.headers().get(client::DESK_PASS).is_some_and(|pass| instance.is_own_desk(pass.as_bytes()))
}

/// Where a request came from. The instance's own desk says for whom it asks.
fn caller_address(request: &ServiceRequest, instance: &Instance) -> IpAddr {
    if is_own_desk(request, instance) {
        let said = request.headers().get("x-forwarded-for").and_then(|value| value.to_str().ok());
        if let Some(address) = said.and_then(|text| text.parse().ok()) {
            return address;
        }
    }
    let peer = request.peer_addr().map_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED), |peer| peer.ip());
    let headers = request.headers().get_all("x-forwarded-for");
    let forwarded_for: Vec<_> = headers.filter_map(|value| value.to_str().ok()).collect();
    instance.caller_address(peer, &forwarded_for)
}

/// Counts a request against whoever sent it: its caller, or, where nobody has shown who they are, the address that it
/// came from, at a stricter rate. Whoever watches the service is not counted.
///
/// # Errors
///
/// [`Code::RateLimited`] when it was one too many.
pub fn count(request: &ServiceRequest, caller: Option<&Caller>) -> Result<(), Refusal> {
    if is_watching(request) {
        return Ok(());
    }
    let instance = instance(request)?;
    let standing = instance.rates.take(match caller {
        Some(Caller::Operator { subject }) => Who::Caller(None, subject.clone()),
        Some(Caller::Member(Member { outfit, subject, .. })) => Who::Caller(Some(*outfit), subject.clone()),
        None => Who::at(caller_address(request, &instance)),
    });
    let Some(wait) = standing.wait else {
        request.extensions_mut().insert(standing);
        return Ok(());
    };
    instance.metrics.shed("rate");
    let says = format!("more than {} requests in a minute; try again in {wait} seconds", standing.quota);
    let mut refusal = Refusal::new(Code::RateLimited, says);
    refusal.headers.extend(told(&standing));
    refusal.headers.push(("retry-after", wait.to_string()));
    Err(refusal)
}

/// Lets the desk know where a request came from, and counts it where nobody seems to be signed in: what is asked for
/// somebody who is, is counted when the desk asks the service for it.
///
/// # Errors
///
/// [`Code::RateLimited`] when it was one too many.
pub fn introduce_to_desk(request: &ServiceRequest) -> Result<(), Refusal> {
    let instance = instance(request)?;
    let from = desk::CameFrom(caller_address(request, &instance));
    request.extensions_mut().insert(from);
    match request.cookie(desk::session::cookie::SESSION) {
        Some(_) => Ok(()),
        None => count(request, None),
    }
}

/// Counts a request whose caller could not show who they are; nobody is to try token after token at the rate of
/// somebody who has one.
///
/// # Errors
///
/// [`Code::RateLimited`] when it was one too many.
pub fn count_stranger(request: &ServiceRequest) -> Result<(), Refusal> {
    instance(request)?.metrics.sign_in_failed();
    count(request, None)
}

/// An answer's body that holds the request's room until it is written.
pub struct Admission {
    body: BoxBody,
    _room: Option<Arc<Admitted>>,
}

impl std::fmt::Debug for Admission {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("Admission")
    }
}

impl MessageBody for Admission {
    type Error = Box<dyn std::error::Error>;

    fn size(&self) -> BodySize {
        self.body.size()
    }

    fn poll_next(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Bytes, Self::Error>>> {
        Pin::new(&mut self.get_mut().body).poll_next(context)
    }
}
