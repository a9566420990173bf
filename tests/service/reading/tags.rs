//! Tags: whoever has the latest is not sent it again.

use api::http::operation::Access;
use api::routes::OPERATIONS;
use serde_json::json;
use tests::TestApp;

use crate::world::World;

#[test]
fn whatever_is_read_from_the_books_is_tagged_and_sent_once() {
    let app = TestApp::start();
    let world = World::new(&app);
    let manager = &world.outfit.manager;
    let mut tried = 0;
    for operation in OPERATIONS.iter().filter(|one| one.method == actix_web::http::Method::GET) {
        let path = world.sample(operation.id).path;
        let reply = manager.get(&path);
        assert_eq!(reply.status, 200, "{}: {:#}", reply.asked, reply.body);
        if operation.access == Access::Open {
            assert_eq!(reply.header("etag"), None, "{}", operation.id);
            continue;
        }
        let tag = reply.header("etag").unwrap_or_else(|| panic!("{} has no tag", operation.id)).to_owned();
        assert_eq!(reply.header("cache-control"), Some("private, no-cache"), "{}", operation.id);
        for known in [tag.clone(), format!("W/{tag}"), format!("\"other\", {tag}"), "*".to_owned()] {
            let again = manager.get_with(&path, "If-None-Match", &known);
            assert_eq!((again.status, again.text.as_str()), (304, ""), "{}", again.asked);
            assert_eq!(again.header("etag"), Some(tag.as_str()), "{}", again.asked);
            assert_eq!(again.header("cache-control"), Some("private, no-cache"), "{}", again.asked);
            assert_eq!(again.header("content-type"), None, "{}", again.asked);
        }
        for unknown in ["\"other\"", tag.trim_matches('"'), "W/\"*\"", ""] {
            let again = manager.get_with(&path, "If-None-Match", unknown);
            assert_eq!((again.status, &again.text), (200, &reply.text), "{}", again.asked);
        }
        tried += 1;
    }
    assert!(tried > 35, "{tried}");
}

#[test]
fn a_tag_changes_with_what_is_shown_and_with_its_form() {
    let app = TestApp::start();
    let world = World::new(&app);
    let manager = &world.outfit.manager;
    let tag = |path: &str| manager.get(path).header("etag").expect("a tag").to_owned();
    let (before, rows) = (tag("/v1/workers"), tag("/v1/workers?format=csv"));
    assert_ne!(before, rows, "two forms, two representations");
    let _filed = manager.post("/v1/workers", &json!({"name": "Newest hand"})).expect(201);
    let changed = manager.get_with("/v1/workers", "If-None-Match", &before);
    assert_eq!(changed.status, 200);
    assert_ne!(changed.header("etag"), Some(before.as_str()));
    assert_eq!(changed.header("vary"), Some("Accept"));
    // A ticket's page changes when another takes its place.
    let shown = format!("/v1/tickets/{}", world.settled_ticket);
    let standing = tag(&shown);
    let correction = json!({"reason": "read the wrong end", "ticket": world.ticket()});
    let _right = world.outfit.scaler.post(&format!("{shown}/corrections"), &correction).expect(201);
    assert_eq!(manager.get_with(&shown, "If-None-Match", &standing).status, 200);
}

/// A refusal is nobody's to keep, whatever tag was sent.
#[test]
fn refusals_have_no_tag() {
    let app = TestApp::start();
    let world = World::new(&app);
    let path = "/v1/tickets/01977000-0000-7000-8000-000000000099";
    let reply = world.outfit.manager.get_with(path, "If-None-Match", "*");
    assert_eq!((reply.status, reply.header("etag")), (404, None));
    assert_eq!(reply.header("cache-control"), Some("no-store"));
}
