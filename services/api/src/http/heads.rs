//! HEAD: answered as GET is, without the body (RFC 9110, section 9.3.2).

use actix_web::Error;
use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::Method;
use actix_web::middleware::Next;

/// Lets a HEAD be handled as the GET of the same address. The connection knows what was asked and sends the head of the
/// answer only, with the length that the body has.
///
/// # Errors
///
/// Whatever the operation answers.
pub async fn as_gets(
    mut request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<impl MessageBody>, Error> {
    if request.method() == Method::HEAD {
        request.head_mut().method = Method::GET;
    }
    next.call(request).await
}
