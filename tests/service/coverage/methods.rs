//! Methods: every path of the document, with every method that the document does not give it, answers 405 with the ones
//! that it has, and nothing changes.

use std::collections::BTreeSet;

use reqwest::Method;
use serde_json::Value;
use tests::{Inspector, TestApp};
use wire::Code;

use crate::world::World;

const METHODS: [Method; 7] =
    [Method::GET, Method::POST, Method::PUT, Method::PATCH, Method::DELETE, Method::OPTIONS, Method::TRACE];

#[test]
fn a_method_that_a_path_does_not_have_is_refused_with_those_it_has() {
    let app = TestApp::start();
    let world = World::new(&app);
    let database = Inspector::connect(&app.database.url());
    let document: Value = app.stranger().get("/openapi.json").expect(200);
    let mut tried = 0;
    for (pattern, item) in document["paths"].as_object().expect("paths") {
        let served: BTreeSet<String> =
            item.as_object().expect("a path").keys().map(|method| method.to_uppercase()).collect();
        let any = item.as_object().and_then(|item| item.values().next()).expect("an operation");
        let path = world.sample(any["operationId"].as_str().expect("an id")).path;
        let path = path.split('?').next().expect("a path");
        for method in METHODS.iter().filter(|method| !served.contains(method.as_str())) {
            let before = database.counts();
            let body = (*method != Method::TRACE).then(|| "{}".to_owned());
            let reply = world.outfit.manager.send(method.clone(), path, body);
            let allowed = reply.header("allow").unwrap_or_else(|| panic!("{method} {pattern}: no Allow"));
            // Where something can be read its head can be asked for, whether the document says so or not.
            let allowed: BTreeSet<String> =
                allowed.split(", ").filter(|method| *method != "HEAD").map(str::to_owned).collect();
            assert_eq!(allowed, served, "{method} {pattern}");
            let _problem = reply.refuses(Code::MethodNotAllowed);
            assert_eq!(database.counts(), before, "{method} {pattern}");
            tried += 1;
        }
    }
    assert!(tried > 200, "only {tried} pairs of path and method were tried");
}
