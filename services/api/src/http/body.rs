//! Bodies: JSON of exactly the form an operation takes, or a problem document that says where it is not.

use std::future::Future;
use std::pin::Pin;

use actix_web::dev::Payload;
use actix_web::{FromRequest, HttpMessage, HttpRequest};
use futures_util::StreamExt;
use serde::de::DeserializeOwned;
use serde_path_to_error::Segment;
use wire::{Code, FieldProblem};

use super::refusal::Refusal;

/// The largest body that is read.
pub const BODY_LIMIT: usize = 1024 * 1024;
/// How much of a larger one is thrown away before the answer, so that a caller who writes first and reads later gets
/// to read it.
const PATIENCE: usize = 32 * 1024 * 1024;

/// A body of the form `T`.
#[derive(Debug)]
pub struct Body<T>(pub T);

impl<T: DeserializeOwned + 'static> FromRequest for Body<T> {
    type Error = Refusal;
    type Future = Pin<Box<dyn Future<Output = Result<Self, Refusal>>>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let json = request.content_type().eq_ignore_ascii_case("application/json");
        let payload = payload.take();
        Box::pin(async move {
            if !json {
                return Err(Refusal::new(
                    Code::NotJsonMediaType,
                    "the header Content-Type is not application/json",
                ));
            }
            parse(&read(payload).await?).map(Body)
        })
    }
}

async fn read(mut payload: Payload) -> Result<Vec<u8>, Refusal> {
    let mut body = Vec::new();
    let mut length = 0_usize;
    while let Some(chunk) = payload.next().await {
        let chunk = chunk.map_err(|error| {
            Refusal::new(Code::NotJson, format!("the body broke off after {length} bytes: {error}"))
        })?;
        length = length.saturating_add(chunk.len());
        if length > PATIENCE {
            break;
        }
        if length <= BODY_LIMIT {
            body.extend_from_slice(&chunk);
        } else {
            body.clear();
        }
    }
    if length > BODY_LIMIT {
        let limit = format!("a body may have {BODY_LIMIT} bytes; this one has more");
        return Err(Refusal::new(Code::BodyTooLarge, limit));
    }
    Ok(body)
}

/// Reads JSON into `T`, saying where it fails.
///
/// # Errors
///
/// [`Code::NotJson`] when it is no JSON, [`Code::WrongForm`] when it is JSON of another form.
pub fn parse<T: DeserializeOwned>(body: &[u8]) -> Result<T, Refusal> {
    // A list would be taken for the members in their order, which nobody can mean.
    if body.iter().find(|byte| !byte.is_ascii_whitespace()) == Some(&b'[') {
        let detail = "this operation takes an object, not a list".to_owned();
        return Err(Refusal::new(Code::WrongForm, detail.clone())
            .at(vec![FieldProblem { pointer: "#".to_owned(), detail }]));
    }
    let mut reader = serde_json::Deserializer::from_slice(body);
    let value = serde_path_to_error::deserialize(&mut reader).map_err(|error| {
        let pointer = pointer(error.path());
        let cause = error.inner();
        let says = sentence(&cause.to_string());
        if cause.is_data() {
            Refusal::new(Code::WrongForm, format!("{pointer}: {says}"))
                .at(vec![FieldProblem { pointer, detail: says }])
        } else {
            Refusal::new(
                Code::NotJson,
                format!("reading stopped at line {}, column {}: {says}", cause.line(), cause.column()),
            )
        }
    })?;
    reader.end().map_err(|_| Refusal::new(Code::NotJson, "something follows the JSON text"))?;
    Ok(value)
}

/// The library ends its messages with the place, which the caller gets as a pointer instead.
fn sentence(message: &str) -> String {
    message.rsplit_once(" at line ").map_or(message, |(says, _)| says).to_owned()
}

/// A JSON Pointer (RFC 6901) in the form of a URI fragment.
fn pointer(path: &serde_path_to_error::Path) -> String {
    let mut text = String::from("#");
    for segment in path {
        let part = match segment {
            Segment::Seq { index } => index.to_string(),
            Segment::Map { key } => key.replace('~', "~0").replace('/', "~1"),
            // The name of a variant is not part of the text.
            Segment::Enum { .. } | Segment::Unknown => continue,
        };
        text.push('/');
        text.push_str(&part);
    }
    text
}
