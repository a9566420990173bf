//! What the API document says of reading: tags, pages, and lists as comma-separated values.

use actix_web::http::Method;
use utoipa::openapi::header::{Header, HeaderBuilder};
use utoipa::openapi::path::Operation as PathOperation;
use utoipa::openapi::schema::{ObjectBuilder, Type};
use utoipa::openapi::{ContentBuilder, RefOr, ResponseBuilder};

use super::operation::{Access, Operation};

/// Adds to an operation that reads what every one of its kind has.
pub fn complete(described: &mut PathOperation, operation: &Operation) {
    if operation.method != Method::GET {
        return;
    }
    let paged = described
        .parameters
        .iter()
        .flatten()
        .any(|parameter| matches!(parameter, RefOr::T(parameter) if parameter.name == "after"));
    let of_the_books = operation.access != Access::Open;
    if let Some(RefOr::T(response)) = described.responses.responses.get_mut("200") {
        if of_the_books {
            response.headers.insert("ETag".to_owned(), RefOr::T(header(TAG)));
        }
        if paged {
            response.headers.insert("Link".to_owned(), RefOr::T(header(LINK)));
        }
        if operation.is_list() {
            let text = ObjectBuilder::new().schema_type(Type::String).description(Some(CSV)).build();
            let content = ContentBuilder::new().schema(Some(text)).build();
            response.content.insert("text/csv".to_owned(), RefOr::T(content));
        }
    }
    if of_the_books {
        let unchanged = ResponseBuilder::new().description(UNCHANGED).header("ETag", header(TAG)).build();
        described.responses.responses.insert("304".to_owned(), RefOr::T(unchanged));
    }
}

const TAG: &str = "The mark of this representation: another as soon as anything in it is. Send it back in \
`If-None-Match` to be told whether anything has changed (RFC 9110, section 13.1.2). Answers too large to be worth it have \
none.";
const LINK: &str = "The first page (`rel=\"first\"`) and, where there is one, the next (`rel=\"next\"`), with the same \
filters (RFC 8288).";
const CSV: &str = "A head, then rows (RFC 4180). The columns are called as the members are; a part that is a list has \
rows of its own or is left out. Numbers are plain decimals; a text that begins like a formula has an apostrophe before \
it.";
const UNCHANGED: &str = "Nothing has changed since the representation with the tag that was sent. No body.";

fn header(says: &str) -> Header {
    let text = ObjectBuilder::new().schema_type(Type::String).build();
    HeaderBuilder::new().schema(Some(text)).description(Some(says)).build()
}
