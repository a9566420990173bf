//! What a form for terms asks for, read once for filing and amending.

use serde::de::DeserializeOwned;
use serde_json::Value;

use super::form::{Faults, by_field};
use super::terms::split::{Fault, Filled, put_together};

/// What the form is sent for.
#[must_use]
pub fn wanted(filled: &Filled) -> &str {
    filled.get("do").map_or("", String::as_str)
}

/// The key that the form's filing carries.
#[must_use]
pub fn once(filled: &Filled) -> &str {
    filled.get("once").map_or("", String::as_str)
}

/// A field's text without blanks around it.
#[must_use]
pub fn text<'a>(filled: &'a Filled, name: &str) -> &'a str {
    filled.get(name).map_or("", |text| text.trim())
}

/// The terms that are filled in, and the rows of their rates.
///
/// # Errors
///
/// What is wrong, field by field.
pub fn terms(filled: &Filled) -> Result<(Value, Vec<usize>), Faults> {
    let mut together = put_together(filled).map_err(by_field)?;
    // What is only counted needs nothing said about scaling; the service wants to be told so.
    if let Some(members) = together.terms.as_object_mut() {
        members.entry("practice").or_insert_with(|| Value::Object(serde_json::Map::new()));
    }
    Ok((together.terms, together.rows))
}

/// Reads a document as the service's own type.
///
/// # Errors
///
/// The place and what is wrong there, as a fault of the field it came from.
pub fn typed<T: DeserializeOwned>(document: Value, rows: &[usize]) -> Result<T, Faults> {
    serde_path_to_error::deserialize(document).map_err(|error| {
        let pointer: String = error
            .path()
            .iter()
            .map(|segment| match segment {
                serde_path_to_error::Segment::Seq { index } => format!("/{index}"),
                serde_path_to_error::Segment::Map { key } => format!("/{key}"),
                _ => String::new(),
            })
            .collect();
        let says = crate::pages::audit::sentence(&error.inner().to_string());
        by_field(vec![Fault { field: super::form::field_at(&pointer, rows), says }])
    })
}
