//! The header that says how old the books are that an instance answers from which only reads.

use actix_web::Error;
use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::header::{HeaderName, HeaderValue};
use actix_web::middleware::Next;
use actix_web::web::Data;

use super::matched;
use super::operation::Access;
use crate::service::Service;

/// Its name. Its value is a time as RFC 3339 writes it: every change that was committed before it is in the answer.
pub const HEADER: HeaderName = HeaderName::from_static("books-as-of");

/// Puts the header on every answer out of an outfit's books, where the instance only reads. The database is asked before
/// the books are opened, so that they are never older than is told.
///
/// # Errors
///
/// Whatever the operation answers.
pub async fn mark<B: MessageBody + 'static>(
    request: ServiceRequest,
    next: Next<B>,
) -> Result<ServiceResponse<B>, Error> {
    let as_of = as_of(&request).await;
    let mut response = next.call(request).await?;
    if let Some(value) = as_of {
        response.headers_mut().insert(HEADER, value);
    }
    Ok(response)
}

async fn as_of(request: &ServiceRequest) -> Option<HeaderValue> {
    let service = request.app_data::<Data<Service>>()?.clone();
    let reading = service.running.reading.as_ref()?;
    let operation = matched::operation(request.request())?;
    if operation.access == Access::Open {
        return None;
    }
    match reading.state(&service.store).await {
        Ok(state) => HeaderValue::from_str(&state.as_of.to_string()).ok(),
        // The operation will run into the same, and tell it.
        Err(error) => {
            tracing::warn!(error = %error, "it is not known how old the books are");
            None
        }
    }
}
