//! The rules held to a table: what breaks a program, and what does not.

use serde_json::{Value, json};

use super::rules::breaks;

/// A document of one operation, `POST /v1/sticks`.
fn document() -> Value {
    json!({
        "paths": {"/v1/sticks": {"post": {
            "operationId": "post_stick",
            "description": "Posts a stick.\n\nOpen to: `scaler`, `manager`.",
            "parameters": [
                {"name": "limit", "in": "query", "required": false, "schema": {"type": "integer", "maximum": 9}}
            ],
            "requestBody": {"required": true, "content": {"application/json": {"schema": {"$ref": "#/components/schemas/Stick"}}}},
            "responses": {
                "201": {"headers": {"Replayed": {}}, "content": {"application/json": {"schema": {"$ref": "#/components/schemas/StickView"}}}},
                "404": {"description": "`not-found`: There is none."}
            }
        }}},
        "components": {"schemas": {
            "Stick": {
                "type": "object", "additionalProperties": false, "required": ["species"],
                "properties": {
                    "species": {"type": "string", "minLength": 1, "maxLength": 9},
                    "kind": {"enum": ["log", "tie"]},
                    "marks": {"type": "array", "items": {"$ref": "#/components/schemas/Mark"}},
                    "within": {"$ref": "#/components/schemas/Stick"}
                }
            },
            "Mark": {"oneOf": [
                {"type": "object", "properties": {"by": {"enum": ["axe"]}}},
                {"type": "object", "properties": {"by": {"enum": ["paint"]}}}
            ]},
            "StickView": {
                "type": "object", "required": ["id", "state"],
                "properties": {
                    "id": {"type": "string", "format": "uuid"},
                    "state": {"enum": ["standing", "corrected"]},
                    "note": {"type": ["string", "null"]},
                    "stick": {"$ref": "#/components/schemas/Stick"}
                }
            }
        }}
    })
}

const OPERATION: &str = "/paths/~1v1~1sticks/post";
const STICK: &str = "/components/schemas/Stick";
const VIEW: &str = "/components/schemas/StickView";

/// The breaks after putting a value at a place in the document; null takes the place away.
fn after(place: &str, value: Value) -> Vec<String> {
    let mut changed = document();
    let (parent, name) = place.rsplit_once('/').expect("a pointer");
    let name = &name.replace("~1", "/");
    let parent = changed.pointer_mut(parent).unwrap_or_else(|| panic!("nothing at {place}"));
    match parent {
        Value::Object(members) if value.is_null() => {
            assert!(members.remove(name).is_some(), "nothing at {place}");
        }
        Value::Object(members) => {
            members.insert(name.to_owned(), value);
        }
        Value::Array(items) => items[name.parse::<usize>().expect("a place")] = value,
        other => panic!("{other} holds nothing"),
    }
    breaks(&document(), &changed).into_iter().collect()
}

/// Tries each change; what it breaks is told, or nothing is.
fn told(table: impl IntoIterator<Item = (String, Value, &'static str)>) {
    for (place, value, says) in table {
        let found = after(&place, value.clone());
        if says.is_empty() {
            assert!(found.is_empty(), "{place} = {value}: {found:?}");
        } else {
            assert!(found.iter().any(|one| one == says), "{place} = {value}: not \"{says}\" but {found:?}");
        }
    }
}

#[test]
fn what_breaks_an_operation_is_told() {
    told([
        ("/paths/~1v1~1sticks".to_owned(), Value::Null, "POST /v1/sticks: taken away"),
        (format!("{OPERATION}/operationId"), json!("file_stick"), "POST /v1/sticks: another operationId"),
        (
            format!("{OPERATION}/description"),
            json!("Open to: `manager`."),
            "POST /v1/sticks: not open to `scaler` any more",
        ),
        (format!("{OPERATION}/parameters"), json!([]), "POST /v1/sticks: without the parameter limit"),
        (
            format!("{OPERATION}/parameters/0/required"),
            json!(true),
            "POST /v1/sticks: needs the parameter limit now",
        ),
        (
            format!("{OPERATION}/parameters/0/schema/maximum"),
            json!(8),
            "POST /v1/sticks parameter limit: `maximum` is narrower",
        ),
        (
            format!("{OPERATION}/parameters/0/schema/type"),
            json!("string"),
            "POST /v1/sticks parameter limit: `type \"integer\"` is narrower",
        ),
        (format!("{OPERATION}/requestBody"), Value::Null, "POST /v1/sticks: takes no body any more"),
        (
            format!("{OPERATION}/requestBody/content"),
            json!({"text/csv": {}}),
            "POST /v1/sticks body: without application/json",
        ),
        (format!("{OPERATION}/responses/201"), Value::Null, "POST /v1/sticks 201: is not answered any more"),
        (
            format!("{OPERATION}/responses/201/headers"),
            Value::Null,
            "POST /v1/sticks 201: without the header Replayed",
        ),
        (format!("{OPERATION}/responses/404"), json!({"description": "x"}), ""),
        (
            format!("{OPERATION}/responses/410"),
            json!({"description": "`not-found`: There is none."}),
            "POST /v1/sticks: `not-found` has another status",
        ),
    ]);
}

#[test]
fn what_breaks_a_form_is_told() {
    told([
        (format!("{STICK}/required"), json!(["species", "kind"]), "Stick (sent): needs the member kind now"),
        (format!("{STICK}/properties/kind"), Value::Null, "Stick (sent): without the member kind"),
        (
            format!("{STICK}/properties/kind/enum"),
            json!(["log"]),
            "Stick (sent).kind: `enum \"tie\"` is narrower",
        ),
        (
            format!("{STICK}/properties/species/minLength"),
            json!(2),
            "Stick (sent).species: `minLength` is narrower",
        ),
        (
            format!("{STICK}/properties/species/maxLength"),
            json!(8),
            "Stick (sent).species: `maxLength` is narrower",
        ),
        (
            format!("{STICK}/properties/species/pattern"),
            json!("^a"),
            "Stick (sent).species: `pattern` is narrower",
        ),
        (
            "/components/schemas/Mark/oneOf".to_owned(),
            json!([{"properties": {"by": {"enum": ["axe"]}}}]),
            "Mark (sent): the form by=\"paint\" is not taken any more",
        ),
        (
            format!("{VIEW}/required"),
            json!(["id"]),
            "StickView (answered): the member state may be missing now",
        ),
        (format!("{VIEW}/properties/note"), Value::Null, "StickView (answered): without the member note"),
        (
            format!("{VIEW}/properties/note/type"),
            json!(["string", "null", "integer"]),
            "StickView (answered).note: `type \"integer\"` is wider",
        ),
        (
            format!("{VIEW}/properties/state/enum"),
            json!(["standing", "corrected", "void"]),
            "StickView (answered).state: `enum \"void\"` is wider",
        ),
        (
            format!("{VIEW}/properties/state/enum"),
            json!(["standing"]),
            "StickView (answered).state: \"corrected\" is not answered any more",
        ),
        (format!("{VIEW}/properties/id/format"), Value::Null, "StickView (answered).id: `format` is wider"),
    ]);
}

#[test]
fn what_breaks_nothing_is_let_be() {
    let further = json!({"post": {"operationId": "x"}});
    let table = [
        ("/paths/~1v1~1stones".to_owned(), further),
        (format!("{OPERATION}/description"), json!("Better said. Open to: `mill`, `scaler`, `manager`.")),
        (format!("{OPERATION}/parameters/0/schema/maximum"), json!(10)),
        (format!("{OPERATION}/responses/200"), json!({"description": "It was there."})),
        (format!("{OPERATION}/responses/429"), json!({"description": "`rate-limited`: Too many."})),
        (format!("{OPERATION}/requestBody/content/text~1csv"), json!({})),
        (format!("{VIEW}/properties/worth"), json!({"type": "string"})),
        (format!("{VIEW}/required"), json!(["id", "state", "note"])),
        (format!("{VIEW}/properties/note/type"), json!("string")),
    ];
    for (place, value) in table {
        let found = after(&place, value.clone());
        assert!(found.is_empty(), "{place} = {value}: {found:?}");
    }
    assert!(breaks(&document(), &document()).is_empty());
}

/// A type that is sent and answered is held to both rules.
#[test]
fn what_goes_both_ways_is_held_both_ways() {
    let wider = after(&format!("{STICK}/properties/kind/enum"), json!(["log", "tie", "pole"]));
    assert_eq!(wider, ["Stick (answered).kind: `enum \"pole\"` is wider"]);
    let longer = after(&format!("{STICK}/properties/species/maxLength"), json!(10));
    assert_eq!(longer, ["Stick (answered).species: `maxLength` is wider"]);
}
