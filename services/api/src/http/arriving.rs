//! How long a body is waited for. Whoever begins one and does not end it holds room for it, and at last there would be none.

use std::time::Duration;

use actix_web::HttpRequest;
use actix_web::dev::Payload;
use actix_web::rt::time::timeout;
use actix_web::web::Data;
use wire::Code;

use super::body::{BODY_LIMIT, read_up_to};
use super::refusal::Refusal;
use crate::service::Service;

/// Waits for a part of a body.
///
/// # Errors
///
/// [`Code::Overloaded`] when it does not come in this time. Whoever sends it is not at fault when the way is slow: the answer is
/// one after which the same is sent again.
pub async fn within<T>(wait: Duration, part: impl Future<Output = T>) -> Result<T, Refusal> {
    // What is there already needs no timer.
    timeout(wait, part).await.map_err(|_| {
        let detail = format!("the body was waited for {} seconds and did not come", wait.as_secs());
        let mut refusal = Refusal::new(Code::Overloaded, detail);
        refusal.headers.push(("retry-after", "1".to_owned()));
        refusal
    })
}

/// Reads the body of one document, which must come whole in the time that the instance gives it.
///
/// # Errors
///
/// As [`read_up_to`].
pub async fn document(request: &HttpRequest, payload: Payload) -> Result<Vec<u8>, Refusal> {
    let service = request.app_data::<Data<Service>>();
    let service =
        service.ok_or_else(|| Refusal::internal("the service is not attached to the application"))?;
    let wait = service.running.body_wait;
    within(wait, read_up_to(payload, BODY_LIMIT, wait)).await?
}
