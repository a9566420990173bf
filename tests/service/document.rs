//! The API document: committed, served, complete, and true to what the service says.

mod compatibility;
mod examples;
mod operations;
mod page;
mod schema;
mod structure;

use serde_json::Value;
use tests::TestApp;

/// The document as it is committed.
const COMMITTED: &str = include_str!("../../openapi/v1.json");

/// The document as the service makes it.
fn document() -> Value {
    let text = api::http::openapi::document_text().expect("the document has a JSON form");
    serde_json::from_str(&text).expect("and is JSON")
}

/// Every operation in the document: path, method, description.
fn operations(document: &Value) -> Vec<(String, String, &Value)> {
    let paths = document["paths"].as_object().expect("paths");
    let mut found = Vec::new();
    for (path, item) in paths {
        for (method, operation) in item.as_object().expect("a path item") {
            found.push((path.clone(), method.clone(), operation));
        }
    }
    found
}

#[test]
fn the_committed_document_is_what_the_service_makes_and_serves() {
    let made = api::http::openapi::document_text().expect("the document has a JSON form");
    assert!(
        made == COMMITTED,
        "openapi/v1.json is not the document of this service any more. Make it anew with\n  \
         cargo run -- openapi > openapi/v1.json\nand read the difference: openapi/README.md says what a \
         compatible change is"
    );
    let app = TestApp::start();
    let served = app.stranger().get("/openapi.json").expect(200);
    assert!(served == document(), "the running service serves another document than it prints");
}

/// Made twice, by two routers, it is the same to the byte.
#[test]
fn making_the_document_twice_gives_the_same() {
    let make = || api::http::openapi::document_text().expect("the document has a JSON form");
    assert_eq!(make(), make());
}

/// Names of files and folders of the machine it was made on have no place in it, nor has anything of its making.
#[test]
fn the_document_says_nothing_of_its_making() {
    for word in
        ["/home/", "/root/", "/tmp/", "crate::", "utoipa", "serde", "actix", "Vec<", "Option<", "```", "[`"]
    {
        assert!(!COMMITTED.contains(word), "the document says {word}");
    }
}
