//! The log: one line an event, with the request it belongs to.

use std::io::IsTerminal;

use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::Method;
use actix_web::http::header::HeaderMap;
use actix_web::{Error, HttpMessage};
use tracing::Span;
use tracing_actix_web::RootSpanBuilder;
use tracing_subscriber::EnvFilter;
use wire::{TraceParent, TraceState};

use crate::config::LogFormat;

/// Sends the log to standard error from now on. A second call changes nothing.
pub fn start(filter: &str, format: LogFormat) {
    let filter = filter.parse().unwrap_or_else(|_| EnvFilter::new("info"));
    let subscriber = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_ansi(std::io::stderr().is_terminal())
        .with_writer(std::io::stderr);
    // Tests start many services in one process; the first one's log is everybody's.
    let _started = match format {
        LogFormat::Text => subscriber.try_init(),
        LogFormat::Json => subscriber.json().flatten_event(true).try_init(),
    };
}

/// The trace that a request belongs to: the caller's, or one that begins here. Among the request's extensions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trace {
    /// The caller's span, if there is one.
    pub parent: Option<TraceParent>,
    /// The request's own span: what is sent on with calls that the request leads to.
    pub own: Option<TraceParent>,
    /// What tracing systems say to each other, to be sent on with it.
    pub state: TraceState,
}

impl Trace {
    /// The trace of a request with this id. Its span is the second half of the id, which is random; a trace that
    /// begins here has the id itself.
    #[must_use]
    pub fn of(headers: &HeaderMap, request_id: uuid::Uuid) -> Self {
        let (id, (_, span)) = (request_id.as_u128(), request_id.as_u64_pair());
        let mut parents = headers.get_all("traceparent").filter_map(|value| value.to_str().ok());
        let parent = match (parents.next(), parents.next()) {
            (Some(one), None) => one.parse::<TraceParent>().ok(),
            // None, or several, which is as good as none.
            _ => None,
        };
        let Some(parent) = parent else {
            return Self { parent: None, own: TraceParent::new(id, span), state: TraceState::default() };
        };
        let states = headers.get_all("tracestate").filter_map(|value| value.to_str().ok());
        Self { parent: Some(parent), own: parent.with_span(span), state: TraceState::from_headers(states) }
    }
}

/// Names the span of the current request by its route's pattern, never the raw path.
pub fn name_span(method: &Method, pattern: Option<&str>) {
    let (span, route) = (Span::current(), pattern.unwrap_or("(none)"));
    span.record("http.route", route);
    span.record("otel.name", format!("{method} {route}"));
}

/// The span of a request: the route's pattern, never the raw path, and no header or body.
#[derive(Debug)]
pub struct RequestSpan;

impl RootSpanBuilder for RequestSpan {
    fn on_request_start(request: &ServiceRequest) -> Span {
        let id = tracing_actix_web::root_span_macro::private::get_request_id(request);
        let trace = Trace::of(request.headers(), *id);
        let span = tracing::info_span!(
            "request",
            otel.kind = "server",
            otel.name = tracing::field::Empty,
            request.id = %id,
            trace.id = tracing::field::Empty,
            span.id = tracing::field::Empty,
            parent.id = tracing::field::Empty,
            http.request.method = %request.method(),
            http.route = tracing::field::Empty,
            http.response.status_code = tracing::field::Empty,
        );
        if let Some(own) = &trace.own {
            span.record("trace.id", own.trace_id());
            span.record("span.id", own.span_id());
        }
        if let Some(parent) = &trace.parent {
            span.record("parent.id", parent.span_id());
        }
        request.extensions_mut().insert(trace);
        span
    }

    fn on_request_end<B: MessageBody>(span: Span, outcome: &Result<ServiceResponse<B>, Error>) {
        let status = match outcome {
            Ok(response) => response.status(),
            Err(error) => error.as_response_error().status_code(),
        };
        span.record("http.response.status_code", status.as_u16());
        let _within = span.enter();
        tracing::info!("answered");
    }
}

#[cfg(test)]
mod tests {
    use actix_web::http::header::{HeaderName, HeaderValue};

    use super::*;

    const ID: uuid::Uuid = uuid::Uuid::from_u128(0x0197_a000_0000_7000_8000_0000_0000_0001);
    const PARENT: &str = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01";

    fn trace(headers: &[(&'static str, &'static str)]) -> Trace {
        let headers = headers
            .iter()
            .map(|(name, value)| (HeaderName::from_static(name), HeaderValue::from_static(value)));
        let mut map = HeaderMap::new();
        headers.for_each(|(name, value)| map.append(name, value));
        Trace::of(&map, ID)
    }

    #[test]
    fn a_request_goes_on_with_its_callers_trace() {
        let went_on = trace(&[("traceparent", PARENT), ("tracestate", "a=1"), ("tracestate", "b=2")]);
        assert_eq!(went_on.parent.map(|parent| parent.to_string()).as_deref(), Some(PARENT));
        let own = "00-0af7651916cd43dd8448eb211c80319c-8000000000000001-01";
        assert_eq!(went_on.own.map(|own| own.to_string()).as_deref(), Some(own));
        assert_eq!(went_on.state.as_str(), "a=1,b=2");
    }

    #[test]
    fn without_a_good_trace_one_begins_here() {
        let twice = [("traceparent", PARENT), ("traceparent", PARENT), ("tracestate", "a=1")];
        for headers in [&[][..], &[("traceparent", "00-0-0-01")], &[("tracestate", "a=1")], &twice] {
            let begun = trace(headers);
            assert_eq!((begun.parent, begun.state.as_str()), (None, ""), "{headers:?}");
            let own = "00-0197a000000070008000000000000001-8000000000000001-00";
            assert_eq!(begun.own.map(|own| own.to_string()).as_deref(), Some(own), "{headers:?}");
        }
    }
}
