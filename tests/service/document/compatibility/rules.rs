//! What may change from one state of the API document to the next, as `openapi/README.md` says it.
//!
//! Every function is pure: two documents in, what breaks a program written against the older one out.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value};

/// Which way a value travels: what may change depends on who has to understand it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// From callers to the service: whatever was taken is still taken.
    Sent,
    /// From the service to callers: whatever comes, they were told of.
    Answered,
}

/// Two documents, the older one and the newer one.
struct Documents<'a> {
    old: &'a Value,
    new: &'a Value,
    breaks: BTreeSet<String>,
    compared: BTreeSet<(String, String, Way)>,
}

/// Everything in the newer document that breaks a program written against the older one.
pub fn breaks(old: &Value, new: &Value) -> BTreeSet<String> {
    let mut documents = Documents { old, new, breaks: BTreeSet::new(), compared: BTreeSet::new() };
    for (path, item) in members(&old["paths"]) {
        for (method, operation) in members(item) {
            let place = format!("{} {path}", method.to_uppercase());
            match new["paths"][path].get(method) {
                None => documents.say(format!("{place}: taken away")),
                Some(newer) => documents.operation(&place, operation, newer),
            }
        }
    }
    documents.breaks
}

fn members(value: &Value) -> impl Iterator<Item = (&String, &Value)> {
    value.as_object().into_iter().flatten()
}

fn items(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn texts(value: &Value) -> BTreeSet<&str> {
    items(value).iter().filter_map(Value::as_str).collect()
}

/// What stands between backticks, after this word and to the end of its line.
fn marked<'a>(description: &'a Value, after: &str) -> BTreeSet<&'a str> {
    let line = description.as_str().and_then(|text| text.rsplit_once(after)).map_or("", |(_, rest)| rest);
    line.lines().next().unwrap_or_default().split('`').skip(1).step_by(2).collect()
}

/// The status of each problem code that an operation names.
fn codes(operation: &Value) -> BTreeMap<&str, &str> {
    let mut found = BTreeMap::new();
    for (status, response) in members(&operation["responses"]).filter(|(status, _)| !status.starts_with('2'))
    {
        for line in response["description"].as_str().unwrap_or_default().lines() {
            if let Some((code, _)) = line.strip_prefix('`').and_then(|line| line.split_once('`')) {
                found.insert(code, status.as_str());
            }
        }
    }
    found
}

impl<'a> Documents<'a> {
    fn say(&mut self, says: String) {
        self.breaks.insert(says);
    }

    fn operation(&mut self, place: &str, old: &'a Value, new: &'a Value) {
        if old["operationId"] != new["operationId"] {
            self.say(format!("{place}: another operationId"));
        }
        let (before, after) =
            (marked(&old["description"], "Open to:"), marked(&new["description"], "Open to:"));
        if before.is_empty() && !after.is_empty() {
            self.say(format!("{place}: needs a token now"));
        }
        for role in before.difference(&after).filter(|_| !after.is_empty()) {
            self.say(format!("{place}: not open to `{role}` any more"));
        }
        let after = codes(new);
        for (code, status) in codes(old) {
            if after.get(code).is_some_and(|now| *now != status) {
                self.say(format!("{place}: `{code}` has another status"));
            }
        }
        self.parameters(place, items(&old["parameters"]), items(&new["parameters"]));
        let body = |operation: &'a Value| operation.get("requestBody");
        match (body(old), body(new)) {
            (None, Some(newer)) if newer["required"] == true => {
                self.say(format!("{place}: needs a body now"))
            }
            (Some(_), None) => self.say(format!("{place}: takes no body any more")),
            (Some(older), Some(newer)) => {
                if older["required"] != true && newer["required"] == true {
                    self.say(format!("{place}: needs a body now"));
                }
                self.contents(&format!("{place} body"), older, newer, Way::Sent);
            }
            _ => {}
        }
        for (status, response) in members(&old["responses"]).filter(|(status, _)| status.starts_with('2')) {
            let place = format!("{place} {status}");
            match new["responses"].get(status) {
                None => self.say(format!("{place}: is not answered any more")),
                Some(newer) => {
                    for (header, _) in members(&response["headers"]) {
                        if newer["headers"].get(header).is_none() {
                            self.say(format!("{place}: without the header {header}"));
                        }
                    }
                    self.contents(&place, response, newer, Way::Answered);
                }
            }
        }
    }

    fn parameters(&mut self, place: &str, old: &'a [Value], new: &'a [Value]) {
        let same = |one: &Value, other: &Value| one["name"] == other["name"] && one["in"] == other["in"];
        for parameter in old {
            let name = parameter["name"].as_str().unwrap_or_default();
            match new.iter().find(|newer| same(parameter, newer)) {
                None => self.say(format!("{place}: without the parameter {name}")),
                Some(newer) => {
                    if parameter["required"] != true && newer["required"] == true {
                        self.say(format!("{place}: needs the parameter {name} now"));
                    }
                    let place = format!("{place} parameter {name}");
                    self.schema(&place, &parameter["schema"], &newer["schema"], Way::Sent);
                }
            }
        }
        for newer in new.iter().filter(|newer| newer["required"] == true) {
            if !old.iter().any(|older| same(older, newer)) {
                let name = newer["name"].as_str().unwrap_or_default();
                self.say(format!("{place}: needs the parameter {name} now"));
            }
        }
    }

    fn contents(&mut self, place: &str, old: &'a Value, new: &'a Value, way: Way) {
        for (media_type, content) in members(&old["content"]) {
            match new["content"].get(media_type) {
                None => self.say(format!("{place}: without {media_type}")),
                Some(newer) => self.schema(place, &content["schema"], &newer["schema"], way),
            }
        }
    }

    /// Compares what two schemas let through. Each pair of components is compared once for each way.
    fn schema(&mut self, place: &str, old: &'a Value, new: &'a Value, way: Way) {
        let reference = |schema: &Value| schema["$ref"].as_str().unwrap_or_default().to_owned();
        let mut place = place.to_owned();
        if let Some(name) = reference(old).rsplit('/').next().filter(|name| !name.is_empty()) {
            if !self.compared.insert((reference(old), reference(new), way)) {
                return;
            }
            place = format!("{name} ({})", if way == Way::Sent { "sent" } else { "answered" });
        }
        let (old, new) = (resolved(self.old, old), resolved(self.new, new));
        self.choices(&place, old, new, way);
        let (Some(old), Some(new)) = (old.as_object(), new.as_object()) else { return };
        // What is taken may not get narrower, what is answered not wider: the same question the other way round.
        let (from, to) = if way == Way::Sent { (old, new) } else { (new, old) };
        for word in narrowed(from, to) {
            let how = if way == Way::Sent { "narrower" } else { "wider" };
            self.say(format!("{place}: `{word}` is {how}"));
        }
        match way {
            Way::Sent if is_closed(new) && !is_closed(old) => {
                self.say(format!("{place}: refuses further members now"));
            }
            Way::Answered => {
                for value in lost(values_of(old), values_of(new)) {
                    self.say(format!("{place}: {value} is not answered any more"));
                }
            }
            Way::Sent => {}
        }
        self.members(&place, old, new, way);
        for (part, word) in [("[]", "items"), ("{}", "additionalProperties")] {
            if let (Some(old), Some(new)) = (old.get(word), new.get(word))
                && old.is_object()
                && new.is_object()
            {
                self.schema(&format!("{place}{part}"), old, new, way);
            }
        }
        let parts = |schema: &'a Map<String, Value>| schema.get("allOf").map_or(&[][..], items);
        for (number, (old, new)) in parts(old).iter().zip(parts(new)).enumerate() {
            self.schema(&format!("{place} part {number}"), old, new, way);
        }
    }

    fn members(&mut self, place: &str, old: &'a Map<String, Value>, new: &'a Map<String, Value>, way: Way) {
        let of = |schema: &'a Map<String, Value>, word: &str| schema.get(word).unwrap_or(&Value::Null);
        let (before, after) = (of(old, "properties"), of(new, "properties"));
        for (name, older) in members(before) {
            match after.get(name) {
                None => self.say(format!("{place}: without the member {name}")),
                Some(newer) => self.schema(&format!("{place}.{name}"), older, newer, way),
            }
        }
        let (before, after) = (texts(of(old, "required")), texts(of(new, "required")));
        match way {
            Way::Sent => {
                for name in after.difference(&before) {
                    self.say(format!("{place}: needs the member {name} now"));
                }
            }
            Way::Answered => {
                for name in before.difference(&after) {
                    self.say(format!("{place}: the member {name} may be missing now"));
                }
            }
        }
    }

    /// Choices between forms: each form that was taken is still taken, each that is answered was known.
    fn choices(&mut self, place: &str, old: &'a Value, new: &'a Value, way: Way) {
        if choices_of(old).is_none() && choices_of(new).is_none() {
            return;
        }
        let alone = |schema: &'a Value| choices_of(schema).unwrap_or_else(|| std::slice::from_ref(schema));
        let (before, after) = (alone(old), alone(new));
        let (from, to, says) = match way {
            Way::Sent => (before, after, "is not taken any more"),
            Way::Answered => (after, before, "is new among what is answered"),
        };
        let (from_document, to_document) =
            if way == Way::Sent { (self.old, self.new) } else { (self.new, self.old) };
        for form in from {
            let name = name_of(from_document, form);
            match to.iter().find(|other| name_of(to_document, other) == name) {
                None => self.say(format!("{place}: the form {name} {says}")),
                Some(other) if way == Way::Sent => self.schema(&format!("{place} {name}"), form, other, way),
                Some(other) => self.schema(&format!("{place} {name}"), other, form, way),
            }
        }
    }
}

fn resolved<'a>(document: &'a Value, schema: &'a Value) -> &'a Value {
    match schema["$ref"].as_str().and_then(|reference| document.pointer(reference.trim_start_matches('#'))) {
        Some(found) => resolved(document, found),
        None => schema,
    }
}

fn choices_of(schema: &Value) -> Option<&[Value]> {
    ["oneOf", "anyOf"].iter().find_map(|word| schema.get(word)?.as_array().map(Vec::as_slice))
}

/// What one form among several is known by: its component, its tag, or its type.
fn name_of(document: &Value, form: &Value) -> String {
    if let Some(reference) = form["$ref"].as_str() {
        return reference.rsplit('/').next().unwrap_or_default().to_owned();
    }
    let schema = resolved(document, form);
    let only = |schema: &Value| match items(&schema["enum"]) {
        [one] => Some(one.to_string()),
        _ => schema.get("const").map(ToString::to_string),
    };
    let tag =
        members(&schema["properties"]).find_map(|(name, of)| only(of).map(|value| format!("{name}={value}")));
    tag.or_else(|| only(schema)).unwrap_or_else(|| {
        let names: Vec<_> = members(&schema["properties"]).map(|(name, _)| name.as_str()).collect();
        format!("{} {}", schema["type"], names.join("+")).trim().to_owned()
    })
}

fn is_closed(schema: &Map<String, Value>) -> bool {
    schema.get("additionalProperties") == Some(&Value::Bool(false))
}

/// The types that a schema lets through; none when it does not say.
fn types_of(schema: &Map<String, Value>) -> Option<BTreeSet<String>> {
    let wanted = schema.get("type")?;
    let all = wanted.as_array().map_or_else(|| vec![wanted], |types| types.iter().collect());
    Some(all.into_iter().map(ToString::to_string).collect())
}

/// The values that a closed set holds; none when it is no closed set.
fn values_of(schema: &Map<String, Value>) -> Option<BTreeSet<String>> {
    let only = schema.get("const").map(|only| vec![only]);
    let listed = schema.get("enum").map(|values| items(values).iter().collect());
    Some(only.or(listed)?.into_iter().map(ToString::to_string).collect())
}

/// What `from` lets through and `to` does not.
fn lost(from: Option<BTreeSet<String>>, to: Option<BTreeSet<String>>) -> BTreeSet<String> {
    match (from, to) {
        (_, None) => BTreeSet::new(),
        (None, Some(_)) => BTreeSet::from(["anything".to_owned()]),
        (Some(from), Some(to)) => from.difference(&to).cloned().collect(),
    }
}

/// The words by which `to` lets less through than `from`.
fn narrowed(from: &Map<String, Value>, to: &Map<String, Value>) -> Vec<String> {
    let mut words = Vec::new();
    words.extend(lost(types_of(from), types_of(to)).into_iter().map(|lost| format!("type {lost}")));
    words.extend(lost(values_of(from), values_of(to)).into_iter().map(|lost| format!("enum {lost}")));
    let number = |schema: &Map<String, Value>, word: &str| schema.get(word).and_then(Value::as_i64);
    for word in ["minimum", "minLength", "minItems"] {
        let least = |schema| number(schema, word);
        if least(to).is_some_and(|to| least(from).is_none_or(|from| to > from)) {
            words.push(word.to_owned());
        }
    }
    for word in ["maximum", "maxLength", "maxItems"] {
        let most = |schema| number(schema, word);
        if most(to).is_some_and(|to| most(from).is_none_or(|from| to < from)) {
            words.push(word.to_owned());
        }
    }
    for word in ["pattern", "format", "uniqueItems"] {
        if to.get(word).is_some_and(|to| from.get(word) != Some(to)) {
            words.push(word.to_owned());
        }
    }
    words
}
