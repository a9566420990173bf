//! Conditional requests: whoever has the latest representation already is told so, and is not sent it again
//! (RFC 9110, section 13.1.2).

use actix_web::Error;
use actix_web::body::{BodySize, BoxBody, MessageBody, to_bytes};
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::header::{
    CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_TYPE, ETAG, HeaderMap, HeaderValue, IF_NONE_MATCH,
};
use actix_web::http::{Method, StatusCode};
use actix_web::middleware::Next;

use super::entity_tag::{Comparison, EntityTag};
use super::matched;
use super::operation::Access;
use super::refusal::Refusal;

/// The longest body that is tagged: longer ones go out as they are.
const LONGEST: u64 = 8 * 1024 * 1024;

/// Tags what is read from an outfit's books with a hash of the representation, and answers 304 to whoever has it. The
/// hash is right here where a version would not be: what a record's page shows changes with other records too.
///
/// Answers that say themselves how they may be kept are left alone.
///
/// # Errors
///
/// Whatever the operation answers.
pub async fn only_what_changed(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    let of_the_books = request.method() == Method::GET
        && matched::operation(request.request())
            .is_some_and(|operation| matches!(operation.access, Access::Roles(_)));
    let known = known(request.headers());
    let response = next.call(request).await?.map_into_boxed_body();
    let short = matches!(response.response().body().size(), BodySize::Sized(length) if length <= LONGEST);
    let open = !response.headers().contains_key(CACHE_CONTROL);
    if !of_the_books || !open || !short || response.status() != StatusCode::OK {
        return Ok(response);
    }
    let (request, response) = response.into_parts();
    let (mut response, body) = response.into_parts();
    let bytes = to_bytes(body).await.map_err(|error| Refusal::internal(error.to_string()))?;
    let tag = EntityTag::of(&bytes);
    let headers = response.headers_mut();
    headers.insert(ETAG, HeaderValue::from_str(&tag.to_string()).map_err(Refusal::internal)?);
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("private, no-cache"));
    if known.has(&tag) {
        headers.remove(CONTENT_TYPE);
        headers.remove(CONTENT_DISPOSITION);
        *response.status_mut() = StatusCode::NOT_MODIFIED;
        return Ok(ServiceResponse::new(request, response.set_body(BoxBody::new(()))));
    }
    Ok(ServiceResponse::new(request, response.set_body(BoxBody::new(bytes))))
}

/// What a caller has already.
enum Known {
    /// Some representation, whichever.
    Any,
    /// These.
    Tags(Vec<EntityTag>),
}

impl Known {
    fn has(&self, tag: &EntityTag) -> bool {
        match self {
            Self::Any => true,
            Self::Tags(tags) => tags.iter().any(|one| one.matches(tag, Comparison::Weak)),
        }
    }
}

/// The header `If-None-Match`; one that cannot be read is as good as none.
fn known(headers: &HeaderMap) -> Known {
    let values: Vec<_> = headers.get_all(IF_NONE_MATCH).filter_map(|value| value.to_str().ok()).collect();
    match values.join(",").trim() {
        "*" => Known::Any,
        tags => Known::Tags(EntityTag::listed(tags).unwrap_or_default()),
    }
}
