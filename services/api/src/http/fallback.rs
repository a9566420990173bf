//! What is answered when no operation is there for a request.

use actix_web::{HttpRequest, HttpResponse};
use wire::Code;

use super::refusal::Refusal;
use crate::routes;

/// Answers 405 with the methods of the path when it has others, otherwise 404.
///
/// # Errors
///
/// Always: [`Code::MethodNotAllowed`] or [`Code::NoSuchPath`].
pub async fn nothing_here(request: HttpRequest) -> Result<HttpResponse, Refusal> {
    let methods = routes::methods_at(request.path());
    if methods.is_empty() {
        return Err(Refusal::new(Code::NoSuchPath, "nothing is served at this path"));
    }
    let mut refusal =
        Refusal::new(Code::MethodNotAllowed, format!("this path is not served with {}", request.method()));
    refusal.allow = Some(methods.join(", "));
    Err(refusal)
}
