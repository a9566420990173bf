//! The document's operations held against the service's own list.

use std::collections::BTreeSet;

use api::http::operation::Access;
use api::routes::OPERATIONS;
use serde_json::{Value, json};
use wire::Code;

use super::{document, operations};

#[test]
fn the_document_and_the_service_have_the_same_operations() {
    let document = document();
    let documented: BTreeSet<_> = operations(&document)
        .into_iter()
        .map(|(path, method, one)| (path, method, one["operationId"].as_str().expect("an id").to_owned()))
        .collect();
    let listed: BTreeSet<_> = OPERATIONS
        .iter()
        .map(|one| (one.path.to_owned(), one.method.as_str().to_lowercase(), one.id.to_owned()))
        .collect();
    assert_eq!(documented, listed);
    assert_eq!(listed.len(), OPERATIONS.len(), "an operation is listed twice");
    let ids: BTreeSet<_> = OPERATIONS.iter().map(|one| one.id).collect();
    assert_eq!(ids.len(), OPERATIONS.len(), "two operations have one id");
}

#[test]
fn every_operation_is_summarised_and_under_a_described_tag() {
    let document = document();
    let tags: Vec<_> = document["tags"].as_array().expect("tags").iter().map(|tag| &tag["name"]).collect();
    let mut used = BTreeSet::new();
    let mut summaries = BTreeSet::new();
    for (path, method, operation) in operations(&document) {
        let summary = operation["summary"].as_str().unwrap_or_default();
        assert!(!summary.is_empty() && !summary.ends_with('.'), "{method} {path}: summary \"{summary}\"");
        assert!(summaries.insert(summary), "\"{summary}\" sums up two operations");
        let own = operation["tags"].as_array().unwrap_or_else(|| panic!("{method} {path} has no tag"));
        assert_eq!(own.len(), 1, "{method} {path}: {own:?}");
        assert!(tags.contains(&&own[0]), "{method} {path}: the tag {} is not described", own[0]);
        used.insert(own[0].to_string());
    }
    assert_eq!(used.len(), tags.len(), "a tag is described and not used");
}

#[test]
fn security_stands_where_roles_are_declared_and_nowhere_else() {
    let document = document();
    let scheme = &document["components"]["securitySchemes"]["access_token"];
    assert_eq!((&scheme["type"], &scheme["scheme"]), (&json!("http"), &json!("bearer")), "{scheme:#}");
    assert!(document.get("security").is_none());
    for operation in OPERATIONS {
        let described = &document["paths"][operation.path][operation.method.as_str().to_lowercase()];
        let description = described["description"].as_str().unwrap_or_default();
        match operation.access {
            Access::Open => assert!(described.get("security").is_none(), "{}", operation.id),
            Access::Roles(roles) => {
                assert_eq!(described["security"], json!([{"access_token": []}]), "{}", operation.id);
                let names: Vec<_> = roles.iter().map(|role| format!("`{}`", role.name())).collect();
                let open_to = format!("Open to: {}.", names.join(", "));
                assert!(description.ends_with(&open_to), "{}: {description}", operation.id);
            }
        }
    }
}

/// The codes that a response's description names, each in backticks at the start of a line.
fn codes(response: &Value) -> BTreeSet<&str> {
    let lines = response["description"].as_str().unwrap_or_default().lines();
    lines.filter_map(|line| line.strip_prefix('`')?.split_once('`').map(|(code, _)| code)).collect()
}

#[test]
fn every_way_to_refuse_is_documented_under_its_status() {
    let document = document();
    for operation in OPERATIONS {
        let described = &document["paths"][operation.path][operation.method.as_str().to_lowercase()];
        let refusals = operation.all_refusals();
        let responses = described["responses"].as_object().expect("responses");
        for (status, response) in responses.iter().filter(|(status, _)| status.as_str() >= "400") {
            let declared: BTreeSet<_> = refusals
                .iter()
                .filter(|code| code.status().to_string() == *status)
                .map(|code| code.text())
                .collect();
            assert_eq!(codes(response), declared, "{} {status}", operation.id);
            let content = &response["content"]["application/problem+json"];
            assert_eq!(
                content["schema"]["$ref"], "#/components/schemas/Problem",
                "{} {status}",
                operation.id
            );
            assert_eq!(content["example"]["status"].to_string(), *status, "{} {status}", operation.id);
        }
        for code in refusals {
            assert!(responses.contains_key(&code.status().to_string()), "{}: {code:?}", operation.id);
        }
        for status in ["500", "503"] {
            assert!(responses.contains_key(status), "{} {status}", operation.id);
        }
    }
}

#[test]
fn every_code_belongs_to_an_operation_and_says_what_to_do() {
    // These two are answered where there is no operation.
    let mut used = BTreeSet::from([Code::NoSuchPath, Code::MethodNotAllowed]);
    used.extend(OPERATIONS.iter().flat_map(|operation| operation.all_refusals()));
    for code in Code::ALL {
        assert!(used.contains(code), "{code:?} belongs to no operation");
        assert!((400..600).contains(&code.status()), "{code:?}");
        assert!(!code.title().ends_with('.') && code.advice().ends_with('.'), "{code:?}");
        assert!(code.text().chars().all(|letter| letter.is_ascii_lowercase() || letter == '-'), "{code:?}");
    }
    let texts: BTreeSet<_> = Code::ALL.iter().map(|code| code.text()).collect();
    assert_eq!(texts.len(), Code::ALL.len());
    let document = document();
    let schema: BTreeSet<_> = document["components"]["schemas"]["ProblemCode"]["enum"]
        .as_array()
        .expect("the codes")
        .iter()
        .filter_map(Value::as_str)
        .collect();
    assert_eq!(schema, texts);
}
