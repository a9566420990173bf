//! Bodies: JSON of exactly the form an operation takes, or a problem document that says where it is not.

use std::future::Future;
use std::pin::Pin;
use std::time::Duration;

use actix_web::dev::Payload;
use actix_web::{FromRequest, HttpMessage, HttpRequest};
use futures_util::StreamExt;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use serde_path_to_error::Segment;
use sha2::{Digest, Sha256};
use wire::{Code, FieldProblem};

use super::refusal::Refusal;
use super::{arriving, busy};

/// The largest body that is read.
pub const BODY_LIMIT: usize = 1024 * 1024;
/// How much of a larger one is thrown away before the answer, so that a caller who writes first and reads later gets
/// to read it.
const PATIENCE: usize = 32 * 1024 * 1024;

/// SHA-256 of what was understood of a body: the same whatever the blanks and the order of members.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BodyFingerprint(pub [u8; 32]);

/// A body of the form `T`.
#[derive(Debug)]
pub struct Body<T>(pub T);

impl<T: DeserializeOwned + Serialize + 'static> FromRequest for Body<T> {
    type Error = Refusal;
    type Future = Pin<Box<dyn Future<Output = Result<Self, Refusal>>>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let json = request.content_type().eq_ignore_ascii_case("application/json");
        let payload = payload.take();
        let request = request.clone();
        Box::pin(async move {
            if !json {
                return Err(Refusal::new(
                    Code::NotJsonMediaType,
                    "the header Content-Type is not application/json",
                ));
            }
            let (value, written) =
                understood(&busy::aside(&request, arriving::document(&request, payload)).await?)?;
            request.extensions_mut().insert(BodyFingerprint(Sha256::digest(&written).into()));
            Ok(Body(value))
        })
    }
}

/// Reads a body of any kind, whose next portion is waited for so long.
///
/// # Errors
///
/// [`Code::BodyTooLarge`]; [`Code::NotJson`] when it breaks off; [`Code::Overloaded`] when it does not go on.
pub async fn read_up_to(mut payload: Payload, limit: usize, wait: Duration) -> Result<Vec<u8>, Refusal> {
    let mut body = Vec::new();
    let mut length = 0_usize;
    while let Some(chunk) = arriving::within(wait, payload.next()).await? {
        let chunk = chunk.map_err(|error| {
            Refusal::new(Code::NotJson, format!("the body broke off after {length} bytes: {error}"))
        })?;
        length = length.saturating_add(chunk.len());
        if length > PATIENCE {
            break;
        }
        if length <= limit {
            body.extend_from_slice(&chunk);
        } else {
            body.clear();
        }
    }
    if length > limit {
        let says = format!("a body may have {limit} bytes; this one has more");
        return Err(Refusal::new(Code::BodyTooLarge, says));
    }
    Ok(body)
}

/// Reads JSON into `T`, saying where it fails.
///
/// # Errors
///
/// [`Code::NotJson`] when it is no JSON, [`Code::WrongForm`] when it is JSON of another form.
pub fn parse<T: DeserializeOwned + Serialize>(body: &[u8]) -> Result<T, Refusal> {
    understood(body).map(|(value, _)| value)
}

/// The same, with the JSON of what was understood.
fn understood<T: DeserializeOwned + Serialize>(body: &[u8]) -> Result<(T, Vec<u8>), Refusal> {
    if let Err(broken) = std::str::from_utf8(body) {
        let detail =
            format!("the body is not text in UTF-8: it breaks off after {} bytes", broken.valid_up_to());
        return Err(Refusal::new(Code::NotJson, detail));
    }
    // To know where one is costs as much as the reading itself: only what fails is read again for that.
    let Ok(value) = serde_json::from_slice::<T>(body) else { return Err(what_is_wrong::<T>(body)) };
    // About as long as what was sent.
    let mut written = Vec::with_capacity(body.len());
    serde_json::to_writer(&mut written, &value).map_err(Refusal::internal)?;
    // As many objects and lists as were sent: then none was taken for the other.
    if brackets(body) != brackets(&written) {
        match (serde_json::from_slice(body), serde_json::from_slice(&written)) {
            (Ok(sent), Ok(understood)) => no_lists_for_objects(&sent, &understood, "#".to_owned())?,
            (Err(broken), _) => return Err(not_json(&broken)),
            (_, Err(unreadable)) => return Err(Refusal::internal(unreadable)),
        }
    }
    Ok((value, written))
}

/// Why a body cannot be read as `T`.
fn what_is_wrong<T: DeserializeOwned>(body: &[u8]) -> Refusal {
    let mut reader = serde_json::Deserializer::from_slice(body);
    match serde_path_to_error::deserialize::<_, T>(&mut reader) {
        Ok(_) => Refusal::new(Code::NotJson, "something follows the JSON text"),
        Err(error) => match serde_json::from_slice::<Value>(body) {
            // A text that breaks off inside a part with a form of its own looks like a part of the wrong form.
            Err(broken) => not_json(&broken),
            Ok(sent) => {
                let detail = sentence(&error.inner().to_string());
                wrong_form(to_member(pointer(error.path()), &sent, &detail), detail)
            }
        },
    }
}

/// How many objects and how many lists a JSON text begins.
fn brackets(json: &[u8]) -> (usize, usize) {
    let (mut objects, mut lists) = (0_usize, 0_usize);
    let (mut in_text, mut escaped) = (false, false);
    for byte in json {
        match byte {
            _ if escaped => escaped = false,
            b'\\' => escaped = in_text,
            b'"' => in_text = !in_text,
            b'{' if !in_text => objects = objects.saturating_add(1),
            b'[' if !in_text => lists = lists.saturating_add(1),
            _ => {}
        }
    }
    (objects, lists)
}

fn not_json(broken: &serde_json::Error) -> Refusal {
    let says = sentence(&broken.to_string());
    let detail = format!("reading stopped at line {}, column {}: {says}", broken.line(), broken.column());
    Refusal::new(Code::NotJson, detail)
}

fn wrong_form(pointer: String, detail: String) -> Refusal {
    Refusal::new(Code::WrongForm, format!("{pointer}: {detail}")).at(vec![FieldProblem { pointer, detail }])
}

/// The way is lost at a part that comes in several kinds, such as a piece; a message that begins with the name of one
/// of its members leads on to that member.
fn to_member(mut pointer: String, sent: &Value, mut detail: &str) -> String {
    let mut whole = sent.pointer(pointer.trim_start_matches('#'));
    while let Some((member, rest)) = detail.split_once(": ")
        && let Some(part) = whole.and_then(|whole| whole.get(member))
    {
        pointer.push('/');
        pointer.push_str(member);
        (whole, detail) = (Some(part), rest);
    }
    pointer
}

/// Refuses a list where an object belongs. The reader would take its items for the members in their order, which
/// nobody can have meant.
fn no_lists_for_objects(sent: &Value, understood: &Value, pointer: String) -> Result<(), Refusal> {
    match (sent, understood) {
        (Value::Array(_), Value::Object(_)) => {
            Err(wrong_form(pointer, "this takes an object with named members, not a list".to_owned()))
        }
        (Value::Array(sent), Value::Array(understood)) => {
            let mut pairs = sent.iter().zip(understood).enumerate();
            pairs.try_for_each(|(place, (sent, understood))| {
                no_lists_for_objects(sent, understood, format!("{pointer}/{place}"))
            })
        }
        (Value::Object(sent), Value::Object(understood)) => {
            sent.iter().try_for_each(|(name, sent)| match understood.get(name) {
                Some(understood) => no_lists_for_objects(sent, understood, format!("{pointer}/{name}")),
                None => Ok(()),
            })
        }
        _ => Ok(()),
    }
}

/// The longest sentence about one mistake; what is longer repeats what was sent.
const LONGEST: usize = 300;

/// The library's message as a sentence for a caller: without the place, which comes as a pointer, and without the
/// names that the types have inside the service.
fn sentence(message: &str) -> String {
    let says = message.rsplit_once(" at line ").map_or(message, |(says, _)| says);
    let says = match says.rsplit_once("expected ") {
        Some((before, wanted)) => format!("{before}expected {}", in_plain_words(wanted)),
        None => says.to_owned(),
    };
    if says.chars().count() <= LONGEST {
        says
    } else {
        says.chars().take(LONGEST).chain("…".chars()).collect()
    }
}

/// What the library says was expected, in words that need no knowledge of the service's insides.
fn in_plain_words(wanted: &str) -> &str {
    const WHOLE_NUMBERS: [&str; 10] =
        ["u8", "u16", "u32", "u64", "usize", "i8", "i16", "i32", "i64", "isize"];
    let kinds = ["struct ", "tuple struct ", "internally tagged enum ", "adjacently tagged enum ", "a map"];
    if WHOLE_NUMBERS.contains(&wanted) {
        "a whole number within the range of this member"
    } else if kinds.iter().any(|kind| wanted.starts_with(kind)) {
        "an object with named members"
    } else if wanted.starts_with("enum ") || wanted == "variant identifier" {
        "one of the choices that the API document lists"
    } else if wanted == "a sequence" {
        "a list"
    } else if wanted == "a string" {
        "text"
    } else {
        wanted
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn brackets_in_texts_do_not_count() {
        assert_eq!(brackets(br#"{"a": [1, {"b\"[{": "}]"}], "c": "\\"}"#), (2, 1));
        assert_eq!(brackets(br#"[["x", "{"]]"#), (0, 2));
    }
}
