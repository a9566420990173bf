//! Short ways to say a piece, a practice and a request.

use scaling::{DirectAnswer, Piece, Practice, ScaleProblem, Scaled, direct, scale};
use serde_json::{Value, json};

/// A log with the given members beside its species.
pub fn log(members: &Value) -> Piece {
    let mut document = json!({"product": "log", "species": "red pine"});
    for (name, value) in members.as_object().unwrap() {
        document[name] = value.clone();
    }
    serde_json::from_value(document).unwrap()
}

/// A practice for logs.
pub fn practice(members: Value) -> Practice {
    serde_json::from_value(json!({ "log": members })).unwrap()
}

/// A log scaled by a practice.
pub fn scaled(terms: Value, members: &Value) -> Result<Scaled, ScaleProblem> {
    scale(&practice(terms), &log(members))
}

/// Gross and net of a log, as text.
pub fn gross_and_net(terms: Value, members: &Value) -> (String, String) {
    let volume = scaled(terms, members).unwrap().volume.unwrap();
    (volume.gross.to_string(), volume.net.to_string())
}

/// The answer to a direct request, or the code of its problem.
pub fn asked(request: Value) -> Result<DirectAnswer, &'static str> {
    direct(&serde_json::from_value(request).unwrap()).map_err(|problem| problem.code())
}
