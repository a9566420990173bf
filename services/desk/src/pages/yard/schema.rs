//! What the page's script is told, as JSON in attributes of the form: the fields, the practices, the books.

use serde_json::{Map, Value, json};

use super::choices::Choices;
use super::fields::{DEFECT, STAYS, STICK};

/// The fields of sticks and defects.
#[must_use]
pub fn json() -> String {
    json!({"stick": STICK, "defect": DEFECT, "stays": STAYS}).to_string()
}

/// Whose practices there are, of which job, and where the table of each is. Nothing of pay.
#[must_use]
pub fn practices(choices: &Choices) -> String {
    let one = |view: &wire::PracticeView| {
        json!({
            "terms_id": view.terms_id, "title": view.title, "job_id": view.job_id, "crew_id": view.party.crew(),
            "mill_id": view.party.mill(), "effective_from": view.effective_from,
            "table": format!("/desk/yard/jobs/{}/tables/{}", view.job_id, view.terms_id),
            "build": env!("CARGO_PKG_VERSION"),
        })
    };
    choices.practices.iter().map(one).collect::<Value>().to_string()
}

/// The next number of each book.
#[must_use]
pub fn books(choices: &Choices) -> String {
    let next = |book: &wire::ScaleBookView| (book.book.clone(), json!(choices.next_number(&book.book)));
    Value::Object(choices.books.iter().map(next).collect::<Map<_, _>>()).to_string()
}

/// The names of crews by their ids.
#[must_use]
pub fn names(choices: &Choices) -> String {
    let one = |crew: &wire::CrewView| (crew.crew_id.to_string(), json!(crew.name));
    Value::Object(choices.crews.iter().map(one).collect::<Map<_, _>>()).to_string()
}
