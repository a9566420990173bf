//! Whether the document is one of OpenAPI 3.1, as far as that can be seen without a network: the rules of the
//! specification (3.1.0, section 4.8) that a generator of clients would stumble over.

use std::collections::BTreeSet;

use api::routes::OPERATIONS;
use serde_json::Value;

use super::schema::Schemas;
use super::{document, operations};

/// Calls `look` with every value in the document and its place.
fn walk<'a>(value: &'a Value, at: &str, look: &mut impl FnMut(&str, &'a Value)) {
    look(at, value);
    match value {
        Value::Object(members) => {
            for (name, member) in members {
                // What an example holds is data, not document.
                if name != "example" && name != "examples" {
                    walk(member, &format!("{at}/{name}"), look);
                }
            }
        }
        Value::Array(items) => {
            for (place, item) in items.iter().enumerate() {
                walk(item, &format!("{at}/{place}"), look);
            }
        }
        _ => {}
    }
}

#[test]
fn the_head_is_complete() {
    let document = document();
    assert!(document["openapi"].as_str().is_some_and(|version| version.starts_with("3.1.")));
    assert_eq!(document["info"]["title"], "Skidway");
    assert_eq!(document["info"]["version"], "1");
    assert_eq!(document["info"]["license"]["name"], "MIT OR Apache-2.0");
    assert!(document["info"]["description"].as_str().is_some_and(|text| text.contains("not legal advice")));
    // Relative to wherever the document was fetched from, unless it says otherwise.
    assert!(document.get("servers").is_none(), "{:#}", document["servers"]);
}

#[test]
fn every_reference_leads_somewhere_and_every_component_is_used() {
    let document = document();
    let mut used = BTreeSet::new();
    walk(&document, "#", &mut |at, value| {
        if let Some(reference) = value.as_object().and_then(|members| members.get("$ref")) {
            let reference = reference.as_str().unwrap_or_else(|| panic!("{at}: a reference is a text"));
            let pointer =
                reference.strip_prefix('#').unwrap_or_else(|| panic!("{at}: {reference} leads outside"));
            assert!(document.pointer(pointer).is_some(), "{at}: {reference} leads nowhere");
            used.insert(reference.to_owned());
        }
    });
    for name in document["components"]["schemas"].as_object().expect("schemas").keys() {
        assert!(used.contains(&format!("#/components/schemas/{name}")), "nothing refers to {name}");
        let plain = |letter: char| letter.is_ascii_alphanumeric() || "._-".contains(letter);
        assert!(name.chars().all(plain), "{name} is no name of a component");
    }
}

#[test]
fn schemas_say_what_can_be() {
    let document = document();
    let types = ["null", "boolean", "object", "array", "string", "integer", "number"];
    let mut schemas = 0;
    walk(&document, "#", &mut |at, value| {
        let Some(members) = value.as_object() else { return };
        let in_schema = at.contains("/schema");
        if !in_schema || at.ends_with("/properties") || at.ends_with("/schemas") {
            return;
        }
        schemas += 1;
        // OpenAPI 3.0 wrote this; in 3.1 it has no meaning.
        assert!(!members.contains_key("nullable"), "{at}: nullable");
        if let Some(wanted) = members.get("type") {
            let wanted = wanted.as_array().map_or_else(|| vec![wanted], |types| types.iter().collect());
            assert!(wanted.iter().all(|one| one.as_str().is_some_and(|one| types.contains(&one))), "{at}");
            let measured = ["number"].iter().any(|float| wanted.contains(&&Value::from(*float)));
            assert!(!measured, "{at}: a JSON number would lose digits; measured and paid numbers are text");
        }
        if let Some(required) = members.get("required").and_then(Value::as_array) {
            for name in required.iter().filter_map(Value::as_str) {
                assert!(
                    members["properties"].get(name).is_some(),
                    "{at}: {name} is required and not described"
                );
            }
        }
        if members.get("type") == Some(&Value::from("array")) {
            assert!(members.contains_key("items"), "{at}: a list of what?");
        }
        if let Some(values) = members.get("enum").and_then(Value::as_array) {
            assert!(!values.is_empty(), "{at}: an empty choice");
        }
        for word in ["minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum", "minLength", "maxLength"] {
            assert!(members.get(word).is_none_or(Value::is_number), "{at}: {word}");
        }
        for word in ["oneOf", "anyOf", "allOf"] {
            let parts = members.get(word).map(|parts| parts.as_array().map_or(0, Vec::len));
            assert!(parts != Some(0), "{at}: an empty {word}");
        }
    });
    assert!(schemas > 300, "only {schemas} schemas were looked at");
}

#[test]
fn every_member_is_described() {
    let document = document();
    let schemas = Schemas { document: &document };
    for (name, schema) in document["components"]["schemas"].as_object().expect("schemas") {
        let Some(properties) = schema.get("properties").and_then(Value::as_object) else { continue };
        for (member, of) in properties {
            // The type it refers to may say it all.
            let told = [of, schemas.resolved(of), schemas.resolved(&of["items"])]
                .iter()
                .any(|one| one["description"].as_str().is_some_and(|text| !text.is_empty()))
                || of["oneOf"].is_array()
                || of["enum"].is_array();
            assert!(told, "{name}.{member} is not described: {of}");
        }
    }
}

#[test]
fn parameters_are_those_of_the_path() {
    let document = document();
    for (path, method, operation) in operations(&document) {
        let place = format!("{method} {path}");
        let none = Vec::new();
        let parameters = operation["parameters"].as_array().unwrap_or(&none);
        let mut named = BTreeSet::new();
        let mut in_path = BTreeSet::new();
        for parameter in parameters {
            let (name, at) =
                (parameter["name"].as_str().expect("a name"), parameter["in"].as_str().expect("where"));
            assert!(named.insert((name, at)), "{place}: {name} stands twice");
            assert!(parameter["schema"].is_object(), "{place}: {name} has no schema");
            assert!(
                parameter["description"].as_str().is_some_and(|text| !text.is_empty()),
                "{place}: {name}"
            );
            match at {
                "path" => {
                    assert_eq!(parameter["required"], true, "{place}: {name}");
                    in_path.insert(name.to_owned());
                }
                "query" => assert!(parameter["required"].is_boolean(), "{place}: {name}"),
                "header" if name == tests::KEY_HEADER => assert_eq!(method, "post", "{place}: {name}"),
                other => panic!("{place}: {name} is in {other}"),
            }
        }
        let braced: BTreeSet<String> = path
            .split('/')
            .filter_map(|part| part.strip_prefix('{')?.strip_suffix('}').map(str::to_owned))
            .collect();
        assert_eq!(in_path, braced, "{place}");
    }
}

/// The media types that an operation answers in when all is well: JSON, but for what is handed to other tools.
fn answered_in(operation: &str) -> &'static [&'static str] {
    match operation {
        "export_journal" => &["text/csv", "text/plain"],
        "report_audit" => &["application/json", "text/csv", "text/html", "application/pdf"],
        "show_ticket" | "show_statement" | "show_crew_sheet" => {
            &["application/json", "text/html", "application/pdf"]
        }
        "post_tickets" | "export_sealed_records" => &["application/x-ndjson"],
        "ticket_sheet_template" => &["text/csv"],
        explained if explained.starts_with("explain_") => &["application/json", "text/plain"],
        "rederive_settlement" => &["application/json", "text/plain"],
        list if list.starts_with("list_") => &["application/json", "text/csv"],
        _ => &["application/json"],
    }
}

#[test]
fn bodies_and_answers_have_their_schemas() {
    let document = document();
    for operation in OPERATIONS {
        let described = &document["paths"][operation.path][operation.method.as_str().to_lowercase()];
        let id = operation.id;
        match described.get("requestBody") {
            None => assert!(operation.body_type().is_none(), "{id} takes a body that is not described"),
            Some(body) => {
                let kind = operation.body_type();
                let kind =
                    kind.unwrap_or_else(|| panic!("{id} is described with a body that it does not take"));
                assert_eq!(body["required"], true, "{id}");
                assert!(body["content"][kind]["schema"].is_object(), "{id}: {body:#}");
                assert_eq!(body["content"].as_object().map(serde_json::Map::len), Some(1), "{id}");
            }
        }
        let responses = described["responses"].as_object().expect("responses");
        assert!(responses.keys().any(|status| status.starts_with('2')), "{id} never succeeds");
        for (status, response) in responses {
            assert!(status.len() == 3 && status.parse::<u16>().is_ok(), "{id}: status {status}");
            assert!(response["description"].as_str().is_some_and(|text| !text.is_empty()), "{id} {status}");
            if status == "304" {
                assert!(response.get("content").is_none(), "{id}: nothing is sent again");
                continue;
            }
            let kinds =
                if status.starts_with('2') { answered_in(id) } else { &["application/problem+json"][..] };
            for kind in kinds {
                assert!(response["content"][kind]["schema"].is_object(), "{id} {status}: {response:#}");
            }
            let described = response["content"].as_object().map(serde_json::Map::len);
            assert_eq!(described, Some(kinds.len()), "{id} {status}");
        }
    }
}
