//! Terms in readable words: for each thing that they say a name and what it is, and what differs between two terms.

use serde_json::Value;

use super::fields::{Field, Kind, RATE, TERMS};

/// As many entries of a list as are spelled out.
const SPELLED: usize = 12;

/// One thing that terms say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// What it is about.
    pub about: String,
    /// What they say.
    pub says: String,
}

/// What terms say, beside their rates.
///
/// ```
/// use desk::pages::contracts::terms::words::said;
/// let terms = serde_json::json!({"practice": {"log": {"one_reading": "half_up", "waste_inch": false}}});
/// let said = said(&terms);
/// assert_eq!(said[0].about, "One diameter reading to the inch");
/// assert_eq!(said[0].says, "to the nearest, halves up");
/// assert_eq!((said[1].about.as_str(), said[1].says.as_str()), ("Log: waste inch", "no"));
/// ```
#[must_use]
pub fn said(terms: &Value) -> Vec<Said> {
    let mut said = Vec::new();
    for (member, value) in terms.as_object().into_iter().flatten() {
        if member != "rates" {
            flatten(&format!("/{member}"), value, TERMS, &mut said);
        }
    }
    said
}

/// What a rate says beside its name.
#[must_use]
pub fn said_of_rate(rate: &Value) -> Vec<Said> {
    let mut said = Vec::new();
    for (member, value) in rate.as_object().into_iter().flatten() {
        if member != "name" {
            flatten(&format!("/{member}"), value, RATE, &mut said);
        }
    }
    said
}

fn flatten(pointer: &str, value: &Value, fields: &[Field], said: &mut Vec<Said>) {
    let field = fields.iter().find(|field| field.pointer == pointer);
    match value {
        Value::Object(members) if field.is_none() => {
            for (member, value) in members {
                flatten(&format!("{pointer}/{member}"), value, fields, said);
            }
        }
        value => {
            let about = field.map_or_else(|| named(pointer), |field| field.label.to_owned());
            said.push(Said { about, says: words(value, field.map(|field| field.kind)) });
        }
    }
}

/// A pointer in words: `/practice/log/waste_inch` is "Log: waste inch".
fn named(pointer: &str) -> String {
    let parts: Vec<_> = pointer
        .split('/')
        .filter(|part| !part.is_empty() && *part != "practice" && *part != "covers")
        .map(|part| part.replace('_', " "))
        .collect();
    papers::words::capital(&parts.join(": "))
}

fn words(value: &Value, kind: Option<Kind>) -> String {
    match value {
        Value::Bool(true) => "yes".to_owned(),
        Value::Bool(false) => "no".to_owned(),
        Value::Null => "nothing".to_owned(),
        Value::Number(number) => number.to_string(),
        Value::String(text) => match kind {
            Some(Kind::Choice(choices)) => {
                let known = choices.iter().find(|(known, _)| known == text);
                known.map_or_else(|| text.clone(), |(_, words)| (*words).to_owned())
            }
            Some(_) => text.clone(),
            None => text.replace('_', " "),
        },
        Value::Array(all) if all.is_empty() => "none".to_owned(),
        Value::Array(all) if all.len() > SPELLED => format!("{} entries", all.len()),
        Value::Array(all) => all.iter().map(|one| words(one, None)).collect::<Vec<_>>().join(", "),
        Value::Object(members) => members
            .iter()
            .map(|(name, value)| format!("{} {}", name.replace('_', " "), words(value, None)))
            .collect::<Vec<_>>()
            .join(", "),
    }
}

/// Something that two terms do not say alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
    /// What it is about.
    pub about: String,
    /// What the earlier terms say; none when they say nothing of it.
    pub before: Option<String>,
    /// What the later ones say.
    pub after: Option<String>,
}

/// What differs between two terms. Rates are held against each other by their names.
///
/// ```
/// use desk::pages::contracts::terms::words::changes;
/// let terms = |price: &str| serde_json::json!({"rates": [{"name": "felling", "price": price}]});
/// let changed = changes(&terms("2"), &terms("2.5"));
/// assert_eq!((changed.len(), changed[0].about.as_str()), (1, "Rate felling: Price"));
/// assert_eq!(changed[0].after.as_deref(), Some("2.5"));
/// ```
#[must_use]
pub fn changes(before: &Value, after: &Value) -> Vec<Changed> {
    let mut all = between("", &said(before), &said(after));
    let (old, new) = (rates(before), rates(after));
    for rate in &old {
        let other = new.iter().find(|other| other.0 == rate.0);
        let about = format!("Rate {}", rate.0);
        match other {
            Some(other) => all.extend(between(&format!("{about}: "), &rate.1, &other.1)),
            None => all.push(Changed { about, before: Some(told(&rate.1)), after: None }),
        }
    }
    for rate in new.iter().filter(|rate| !old.iter().any(|other| other.0 == rate.0)) {
        all.push(Changed { about: format!("Rate {}", rate.0), before: None, after: Some(told(&rate.1)) });
    }
    all
}

/// The rates by name; those of one name are told apart by their place among them.
fn rates(terms: &Value) -> Vec<(String, Vec<Said>)> {
    let mut rates: Vec<(String, Vec<Said>)> = Vec::new();
    for rate in terms.get("rates").and_then(Value::as_array).into_iter().flatten() {
        let name = rate.get("name").and_then(Value::as_str).unwrap_or_default();
        let again = rates.iter().filter(|(known, _)| known.split(" (").next() == Some(name)).count();
        let name = if again == 0 { name.to_owned() } else { format!("{name} ({})", again.saturating_add(1)) };
        rates.push((name, said_of_rate(rate)));
    }
    rates
}

fn told(said: &[Said]) -> String {
    said.iter().map(|one| format!("{}: {}", one.about, one.says)).collect::<Vec<_>>().join("; ")
}

fn between(prefix: &str, before: &[Said], after: &[Said]) -> Vec<Changed> {
    let says =
        |all: &[Said], about: &str| all.iter().find(|one| one.about == about).map(|one| one.says.clone());
    let mut about: Vec<&str> = before.iter().map(|one| one.about.as_str()).collect();
    about.extend(after.iter().map(|one| one.about.as_str()).filter(|about| says(before, about).is_none()));
    about
        .into_iter()
        .map(|about| Changed {
            about: format!("{prefix}{about}"),
            before: says(before, about),
            after: says(after, about),
        })
        .filter(|one| one.before != one.after)
        .collect()
}
