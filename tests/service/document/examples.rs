//! The examples in the document: one wherever something is sent or answered, each true to its schema.

use serde_json::Value;

use super::schema::Schemas;
use super::{document, operations};

/// Everything with a schema and an example: where it stands, the schema, the example.
fn shown(document: &Value) -> Vec<(String, &Value, &Value)> {
    let mut found = Vec::new();
    for (path, method, operation) in operations(document) {
        let mut bodies: Vec<(String, &Value)> = Vec::new();
        if let Some(body) = operation.get("requestBody") {
            bodies.push((format!("{method} {path} body"), &body["content"]));
        }
        for (status, response) in operation["responses"].as_object().expect("responses") {
            if status != "304" {
                bodies.push((format!("{method} {path} {status}"), &response["content"]));
            }
        }
        for (place, content) in bodies {
            for media in content.as_object().expect("content").values() {
                found.push((place.clone(), &media["schema"], &media["example"]));
            }
        }
    }
    found
}

#[test]
fn every_body_and_every_answer_has_an_example() {
    let document = document();
    let shown = shown(&document);
    assert!(shown.len() > 200, "{}", shown.len());
    for (place, _, example) in shown {
        assert!(!example.is_null(), "{place} has no example");
    }
}

#[test]
fn every_example_is_what_its_schema_says() {
    let document = document();
    let schemas = Schemas { document: &document };
    let wrong: Vec<String> = shown(&document)
        .into_iter()
        .flat_map(|(place, schema, example)| {
            let errors = schemas.errors(schema, example);
            errors.into_iter().map(move |error| format!("{place} {error}"))
        })
        .collect();
    assert!(wrong.is_empty(), "{} faults:\n{}", wrong.len(), wrong.join("\n"));
}

/// An example of nothing teaches nothing.
#[test]
fn no_list_in_an_answer_is_empty() {
    let document = document();
    for (place, _, example) in shown(&document) {
        for list in [example.get("items"), example.as_array().map(|_| example)].into_iter().flatten() {
            assert!(list.as_array().is_some_and(|items| !items.is_empty()), "{place}: {example:#}");
        }
    }
}
