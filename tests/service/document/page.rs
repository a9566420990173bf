//! The documentation page: served whole by the service itself, so that it works where there is no other network.

use std::net::SocketAddr;

use tests::TestApp;

use crate::raw::{self, RawReply};

fn fetch(address: SocketAddr, path: &str) -> RawReply {
    let reply = raw::exchange(address, &format!("GET {path}"), &[], b"");
    assert_eq!(reply.status, 200, "{path}: {}", reply.head);
    reply
}

/// What the page asks for: the values of `src` and `href`.
fn asked_for(page: &str) -> Vec<&str> {
    let mut found = Vec::new();
    for attribute in ["src=\"", "href=\""] {
        found.extend(page.split(attribute).skip(1).filter_map(|rest| rest.split('"').next()));
    }
    found
}

/// Addresses of other hosts in a text.
fn elsewhere(text: &str) -> Vec<&str> {
    let starts = ["http://", "https://", "\"//", "'//"];
    text.lines().filter(|line| starts.iter().any(|start| line.contains(start))).collect()
}

#[test]
fn the_page_and_its_parts_come_from_the_service() {
    let app = TestApp::start();
    let page = fetch(app.address, "/docs/");
    assert!(page.header("content-type").is_some_and(|kind| kind.starts_with("text/html")), "{}", page.head);
    assert_eq!(elsewhere(&page.text), Vec::<&str>::new());
    let parts = asked_for(&page.text);
    assert!(parts.len() > 3, "{}", page.text);
    for part in &parts {
        let part = part.strip_prefix("./").unwrap_or(part);
        assert!(!part.contains(':') && !part.starts_with('/'), "{part} is not beside the page");
        let reply = fetch(app.address, &format!("/docs/{part}"));
        assert!(!reply.text.is_empty(), "{part} is empty");
    }
}

#[test]
fn the_page_reads_the_document_of_this_service_and_asks_nobody_about_it() {
    let app = TestApp::start();
    let page = fetch(app.address, "/docs/");
    let set_up =
        asked_for(&page.text).into_iter().find(|part| part.contains("initializer")).expect("a set-up");
    let set_up = fetch(app.address, &format!("/docs/{}", set_up.trim_start_matches("./"))).text;
    assert!(set_up.contains("/openapi.json"), "{set_up}");
    assert_eq!(elsewhere(&set_up), Vec::<&str>::new());
    // Unless told not to, the page sends the document's address to a public checker.
    assert!(set_up.contains("validatorUrl"), "the page would ask a public checker: {set_up}");
}

#[test]
fn what_is_not_there_is_told_as_everywhere() {
    let app = TestApp::start();
    let reply = raw::exchange(app.address, "GET /docs/nothing-of-that-name.js", &[], b"");
    assert_eq!(reply.status, 404, "{}", reply.head);
    let reply = raw::exchange(app.address, "GET /docs", &[], b"");
    assert!([301, 302, 303, 307, 308, 404].contains(&reply.status), "{}", reply.head);
}
