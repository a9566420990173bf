//! The log: one line an event, with the request it belongs to.

use std::io::IsTerminal;

use actix_web::Error;
use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use tracing::Span;
use tracing_actix_web::RootSpanBuilder;
use tracing_subscriber::EnvFilter;

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

/// The span of a request: the route's pattern, never the raw path, and no header or body.
#[derive(Debug)]
pub struct RequestSpan;

impl RootSpanBuilder for RequestSpan {
    fn on_request_start(request: &ServiceRequest) -> Span {
        let id = tracing_actix_web::root_span_macro::private::get_request_id(request);
        tracing::info_span!(
            "request",
            request.id = %id,
            http.request.method = %request.method(),
            http.route = tracing::field::Empty,
            http.response.status_code = tracing::field::Empty,
        )
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
