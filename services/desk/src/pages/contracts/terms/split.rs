//! Terms taken apart into the fields of a form, and put together again. Nothing is lost: what no field can hold exactly
//! stays in "everything else", and putting together what was just taken apart gives the same terms.

use std::collections::BTreeMap;

use serde_json::{Map, Value};

use super::fields::{Field, Kind, RATE, TERMS};

/// The name of the text for everything else.
pub const REST: &str = "rest";

/// What a form holds: a text for each of its fields.
pub type Filled = BTreeMap<String, String>;

/// Something that a form cannot be read for: the field, and what is wrong there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The field's name.
    pub field: String,
    /// What is wrong.
    pub says: String,
}

/// The name of a rate's field.
///
/// ```
/// assert_eq!(desk::pages::contracts::terms::split::of_rate(2, "price"), "rate-2-price");
/// ```
#[must_use]
pub fn of_rate(row: usize, field: &str) -> String {
    format!("rate-{row}-{field}")
}

/// The rows of rates that a form has.
///
/// ```
/// use desk::pages::contracts::terms::split::{of_rate, rows};
/// let filled = [(of_rate(0, "name"), String::new()), (of_rate(7, "price"), "1".to_owned())];
/// assert_eq!(rows(&filled.into_iter().collect()), [0, 7]);
/// ```
#[must_use]
pub fn rows(filled: &Filled) -> Vec<usize> {
    let row = |name: &String| name.strip_prefix("rate-")?.split('-').next()?.parse::<usize>().ok();
    let mut rows: Vec<usize> = filled.keys().filter_map(row).collect();
    rows.sort_unstable();
    rows.dedup();
    rows
}

/// Takes terms apart.
///
/// ```
/// use desk::pages::contracts::terms::split::{put_together, take_apart};
/// let terms = serde_json::json!({"effective_from": "2031-06-01", "practice": {"log": {"rule": "doyle"}},
///     "rates": [{"name": "felling", "task": "felling", "price": "2", "covers": {}, "odd": [1]}]});
/// let filled = take_apart(&terms);
/// assert_eq!((filled["rule"].as_str(), filled["rate-0-price"].as_str()), ("doyle", "2"));
/// assert_eq!(put_together(&filled).unwrap().terms, terms);
/// ```
#[must_use]
pub fn take_apart(terms: &Value) -> Filled {
    let mut rest = terms.clone();
    let mut filled = Filled::new();
    let rates = match rest.as_object_mut() {
        Some(members) if members.get("rates").is_some_and(Value::is_array) => members.remove("rates"),
        _ => None,
    };
    for (row, mut rate) in rates.iter().filter_map(Value::as_array).flatten().cloned().enumerate() {
        for field in RATE {
            let text = take(&mut rate, field).unwrap_or_default();
            filled.insert(of_rate(row, field.name), text);
        }
        filled.insert(of_rate(row, REST), written(&rate));
    }
    for field in TERMS {
        let text = take(&mut rest, field).unwrap_or_default();
        filled.insert(field.name.to_owned(), text);
    }
    filled.insert(REST.to_owned(), written(&rest));
    filled
}

fn written(rest: &Value) -> String {
    match rest {
        Value::Object(members) if members.is_empty() => String::new(),
        rest => serde_json::to_string_pretty(rest).unwrap_or_default(),
    }
}

/// Takes out what a field holds, if it can hold it exactly.
fn take(from: &mut Value, field: &Field) -> Option<String> {
    let text = text_of(from.pointer(field.pointer)?, field.kind)?;
    let (parent, member) = field.pointer.rsplit_once('/')?;
    let _taken = from.pointer_mut(parent)?.as_object_mut()?.remove(member)?;
    Some(text)
}

/// A value as a field's text; none when the text would not give the same value.
fn text_of(value: &Value, kind: Kind) -> Option<String> {
    let text = match (value, kind) {
        (Value::Bool(yes), Kind::YesNo) => yes.to_string(),
        (Value::Array(names), Kind::Names) => {
            names.iter().map(Value::as_str).collect::<Option<Vec<_>>>()?.join(", ")
        }
        (Value::String(text), Kind::Choice(choices)) => {
            choices.iter().any(|(known, _)| known == text).then(|| text.clone())?
        }
        (Value::String(text), Kind::Text | Kind::Day | Kind::Number | Kind::Rule) => text.clone(),
        _ => return None,
    };
    let single = !text.contains(char::is_control);
    (single && !text.is_empty() && value_of(&text, kind) == *value).then_some(text)
}

/// The value that a field's text gives.
fn value_of(text: &str, kind: Kind) -> Value {
    let text = text.trim();
    match kind {
        Kind::YesNo if text == "true" || text == "false" => Value::Bool(text == "true"),
        Kind::Names => text
            .split(',')
            .map(str::trim)
            .filter(|name| !name.is_empty())
            .map(|name| Value::String(name.to_owned()))
            .collect(),
        _ => Value::String(text.to_owned()),
    }
}

/// Terms, and which row of the form each of their rates comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct PutTogether {
    /// The terms as JSON.
    pub terms: Value,
    /// The rows of the rates, in the rates' order.
    pub rows: Vec<usize>,
}

/// Puts terms together.
///
/// # Errors
///
/// What is wrong, field by field.
pub fn put_together(filled: &Filled) -> Result<PutTogether, Vec<Fault>> {
    let mut faults = Vec::new();
    let mut terms = whole(filled, TERMS, &str::to_owned, &mut faults);
    let mut rates = Vec::new();
    let mut kept = Vec::new();
    for row in rows(filled) {
        let rate = whole(filled, RATE, &|field| of_rate(row, field), &mut faults);
        // A row that nothing was written into is no rate.
        if rate.as_object().is_none_or(|members| !members.is_empty()) {
            rates.push(rate);
            kept.push(row);
        }
    }
    if let Some(members) = terms.as_object_mut() {
        if members.contains_key("rates") {
            let says = "The rates have rows of their own: take \"rates\" out of here.".to_owned();
            faults.push(Fault { field: REST.to_owned(), says });
        }
        members.insert("rates".to_owned(), Value::Array(rates));
    }
    if faults.is_empty() { Ok(PutTogether { terms, rows: kept }) } else { Err(faults) }
}

/// An object out of its fields and everything else of it.
fn whole(filled: &Filled, fields: &[Field], name: &dyn Fn(&str) -> String, faults: &mut Vec<Fault>) -> Value {
    let mut fault = |field: &str, says: String| faults.push(Fault { field: name(field), says });
    let rest = filled.get(&name(REST)).map_or("", |text| text.trim());
    let mut object = match serde_json::from_str::<Value>(if rest.is_empty() { "{}" } else { rest }) {
        Ok(Value::Object(members)) => Value::Object(members),
        Ok(_) => {
            fault(REST, "This is to be a JSON object: { … }.".to_owned());
            Value::Object(Map::new())
        }
        Err(error) => {
            fault(REST, format!("This is not JSON: {error}."));
            Value::Object(Map::new())
        }
    };
    for field in fields {
        let text = filled.get(&name(field.name)).map_or("", |text| text.trim());
        if text.is_empty() {
            continue;
        }
        if object.pointer(field.pointer).is_some() {
            fault(field.name, "This stands in \"everything else\" too; leave one of the two out.".to_owned());
        } else if !put(&mut object, field.pointer, value_of(text, field.kind)) {
            let says = format!(
                "\"Everything else\" has something else than an object where {} belongs.",
                field.pointer
            );
            fault(field.name, says);
        }
    }
    object
}

/// Puts a value where a pointer leads, making the objects on the way; false when something else is in the way.
fn put(object: &mut Value, pointer: &str, value: Value) -> bool {
    let mut place = object;
    for member in pointer.split('/').skip(1) {
        let Some(members) = place.as_object_mut() else { return false };
        place = members.entry(member).or_insert_with(|| Value::Object(Map::new()));
    }
    *place = value;
    true
}
