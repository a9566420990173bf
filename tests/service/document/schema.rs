//! A small reader of the schemas in the API document: whether a value is what a schema says, and nothing more.
//!
//! It knows the words of JSON Schema that the document uses, and refuses any other, so that no part of a schema goes
//! unread. Beyond the standard, a member that no schema names is an error even where nothing forbids it: what the
//! service sends without documenting it is a fault of the document.

use std::collections::BTreeSet;

use serde_json::{Map, Value};

/// What says something about a value without holding it to anything.
const WORDS_FOR_PEOPLE: [&str; 6] = ["description", "example", "examples", "title", "default", "deprecated"];

/// The words that are read.
const WORDS: [&str; 18] = [
    "$ref",
    "type",
    "properties",
    "required",
    "additionalProperties",
    "propertyNames",
    "items",
    "enum",
    "const",
    "oneOf",
    "allOf",
    "anyOf",
    "format",
    "pattern",
    "minLength",
    "maxLength",
    "minimum",
    "maximum",
];

/// More words that are read; those of lists.
const WORDS_OF_LISTS: [&str; 3] = ["minItems", "maxItems", "uniqueItems"];

/// A document whose components references lead to.
pub struct Schemas<'a> {
    /// The whole document.
    pub document: &'a Value,
}

impl<'a> Schemas<'a> {
    /// Everything that is wrong with a value by a schema, each with its place.
    pub fn errors(&self, schema: &'a Value, value: &Value) -> Vec<String> {
        let mut errors = Vec::new();
        self.check(schema, value, "#", true, &mut errors);
        errors
    }

    /// What a reference leads to.
    pub fn resolved(&self, schema: &'a Value) -> &'a Value {
        match schema["$ref"].as_str() {
            None => schema,
            Some(reference) => {
                let pointer = reference.strip_prefix('#').expect("references stay within the document");
                let found = self.document.pointer(pointer);
                self.resolved(found.unwrap_or_else(|| panic!("{reference} leads nowhere")))
            }
        }
    }

    fn check(&self, schema: &'a Value, value: &Value, at: &str, closed: bool, errors: &mut Vec<String>) {
        let schema = self.resolved(schema);
        let words = schema.as_object().unwrap_or_else(|| panic!("{at}: not a schema: {schema}"));
        for word in words.keys() {
            let known = WORDS.contains(&word.as_str())
                || WORDS_OF_LISTS.contains(&word.as_str())
                || WORDS_FOR_PEOPLE.contains(&word.as_str());
            assert!(known, "{at}: the word {word} is not read yet");
        }
        for part in list(words, "allOf") {
            self.check(part, value, at, false, errors);
        }
        for word in ["oneOf", "anyOf"] {
            self.check_choice(words, word, value, at, closed, errors);
        }
        self.check_value(words, value, at, errors);
        match value {
            Value::Object(members) => self.check_members(schema, words, members, at, closed, errors),
            Value::Array(items) => {
                if let Some(of) = words.get("items") {
                    for (place, item) in items.iter().enumerate() {
                        self.check(of, item, &format!("{at}/{place}"), true, errors);
                    }
                }
            }
            _ => {}
        }
    }

    /// Exactly one of the choices fits; for `anyOf` at least one.
    fn check_choice(
        &self,
        words: &'a Map<String, Value>,
        word: &str,
        value: &Value,
        at: &str,
        closed: bool,
        errors: &mut Vec<String>,
    ) {
        let choices = list(words, word);
        if choices.is_empty() {
            return;
        }
        let tried: Vec<Vec<String>> = choices
            .iter()
            .map(|choice| {
                let mut errors = Vec::new();
                self.check(choice, value, at, closed, &mut errors);
                errors
            })
            .collect();
        let fitting = tried.iter().filter(|errors| errors.is_empty()).count();
        if fitting == 0 || (word == "oneOf" && fitting > 1) {
            let nearest = tried.iter().filter(|errors| !errors.is_empty()).min_by_key(|errors| errors.len());
            errors.push(format!("{at}: {fitting} choices of {word} fit; nearest: {nearest:?}"));
        }
    }

    fn check_value(&self, words: &Map<String, Value>, value: &Value, at: &str, errors: &mut Vec<String>) {
        if let Some(wanted) = words.get("type") {
            let types = wanted.as_array().map_or_else(|| vec![wanted], |types| types.iter().collect());
            if !types.iter().any(|wanted| has_type(value, wanted.as_str().expect("a type's name"))) {
                errors.push(format!("{at}: {value} is not of type {wanted}"));
            }
        }
        if words.get("enum").is_some_and(|values| !values.as_array().expect("values").contains(value)) {
            errors.push(format!("{at}: {value} is not one of {}", words["enum"]));
        }
        if words.get("const").is_some_and(|only| only != value) {
            errors.push(format!("{at}: {value} is not {}", words["const"]));
        }
        let number = |word: &str| words.get(word).and_then(Value::as_i64);
        let size = match value {
            Value::String(text) => {
                Some((i64::try_from(text.chars().count()).expect("short"), "minLength", "maxLength"))
            }
            Value::Array(items) => Some((i64::try_from(items.len()).expect("short"), "minItems", "maxItems")),
            Value::Number(figure) => figure.as_i64().map(|figure| (figure, "minimum", "maximum")),
            _ => None,
        };
        if let Some((size, least, most)) = size
            && (number(least).is_some_and(|least| size < least)
                || number(most).is_some_and(|most| size > most))
        {
            errors.push(format!("{at}: {value} is outside of {least} and {most}"));
        }
        if let (Some(format), Some(text)) = (words.get("format").and_then(Value::as_str), value.as_str())
            && !has_format(text, format)
        {
            errors.push(format!("{at}: {value} is no {format}"));
        }
    }

    fn check_members(
        &self,
        schema: &'a Value,
        words: &'a Map<String, Value>,
        members: &Map<String, Value>,
        at: &str,
        closed: bool,
        errors: &mut Vec<String>,
    ) {
        for name in list(words, "required").iter().filter_map(Value::as_str) {
            if !members.contains_key(name) {
                errors.push(format!("{at}: the member {name} is missing"));
            }
        }
        let mut known = BTreeSet::new();
        self.names(schema, &mut known);
        for (name, member) in members {
            let at = format!("{at}/{name}");
            let own = words.get("properties").and_then(|properties| properties.get(name));
            match (own, words.get("additionalProperties")) {
                (Some(of), _) => self.check(of, member, &at, true, errors),
                (None, Some(Value::Bool(false))) => errors.push(format!("{at}: this member is forbidden")),
                (None, Some(of)) if of.is_object() => self.check(of, member, &at, true, errors),
                (None, _) if closed && !known.contains(name.as_str()) => {
                    errors.push(format!("{at}: this member is not in the document"));
                }
                (None, _) => {}
            }
        }
    }

    /// The members that a schema names, whichever choice fits.
    fn names(&self, schema: &'a Value, known: &mut BTreeSet<&'a str>) {
        let schema = self.resolved(schema);
        let words = schema.as_object().expect("a schema");
        if let Some(properties) = words.get("properties").and_then(Value::as_object) {
            known.extend(properties.keys().map(String::as_str));
        }
        for word in ["allOf", "oneOf", "anyOf"] {
            list(words, word).iter().for_each(|part| self.names(part, known));
        }
    }
}

fn list<'a>(words: &'a Map<String, Value>, word: &str) -> &'a [Value] {
    words.get(word).map_or(&[], |parts| parts.as_array().unwrap_or_else(|| panic!("{word} is no list")))
}

fn has_type(value: &Value, wanted: &str) -> bool {
    match wanted {
        "null" => value.is_null(),
        "boolean" => value.is_boolean(),
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "integer" => value.is_i64() || value.is_u64(),
        "number" => value.is_number(),
        other => panic!("there is no type {other}"),
    }
}

fn has_format(text: &str, format: &str) -> bool {
    match format {
        "uuid" => text.len() == 36 && text.parse::<kernel::TicketId>().is_ok(),
        "date" => text.len() == 10 && text.parse::<jiff::civil::Date>().is_ok(),
        "date-time" => text.parse::<jiff::Timestamp>().is_ok(),
        other => panic!("the format {other} is not read yet"),
    }
}

/// The reader itself: it must be able to say no.
#[test]
fn wrong_values_are_found() {
    use serde_json::json;
    let document = json!({"components": {"schemas": {
        "Stick": {"type": "object", "required": ["length"], "properties": {"length": {"type": "string"}}},
        "Log": {"allOf": [{"$ref": "#/components/schemas/Stick"},
                          {"type": "object", "required": ["kind"], "properties": {"kind": {"enum": ["log"]}}}]},
        "Pole": {"allOf": [{"$ref": "#/components/schemas/Stick"},
                           {"type": "object", "required": ["kind"], "properties": {"kind": {"enum": ["pole"]}}}]},
        "Piece": {"oneOf": [{"$ref": "#/components/schemas/Log"}, {"$ref": "#/components/schemas/Pole"}]}
    }}});
    let schemas = Schemas { document: &document };
    let piece = json!({"$ref": "#/components/schemas/Piece"});
    let piece = document.pointer("/components/schemas/Piece").unwrap_or(&piece);
    let fits = |value: Value| schemas.errors(piece, &value).is_empty();
    assert!(fits(json!({"kind": "log", "length": "16"})));
    assert!(!fits(json!({"kind": "log"})), "a member is missing");
    assert!(!fits(json!({"kind": "tie", "length": "16"})), "no choice");
    assert!(!fits(json!({"kind": "log", "length": 16})), "another type");
    assert!(!fits(json!({"kind": "log", "length": "16", "width": "9"})), "a member too many");
}
