//! What the document of a record says of itself.

use jiff::Timestamp;
use serde_json::Value;

/// What people call the record.
pub(super) fn name(document: &Value) -> String {
    let text = |member: &str| document.get(member).and_then(Value::as_str);
    let number = document.get("number").and_then(Value::as_i64);
    match (text("kind"), text("book"), number, text("week_ends_on")) {
        (Some("ticket"), Some(book), Some(number), _) => format!("ticket {book} {number}"),
        (Some("settlement"), _, _, Some(week)) => format!("the settlement of the week that ended on {week}"),
        _ => "a record of an unknown kind".to_owned(),
    }
}

/// When it came into the books, by its own account.
pub(super) fn entered_at(document: &Value) -> Option<Timestamp> {
    let at = document.get("accepted_at").or_else(|| document.get("posted_at"));
    at?.as_str()?.parse().ok()
}
