//! Sticks and heads of tickets in words.

use serde_json::Value;

use super::choices::Choices;
use super::draft::{Draft, TASKS};

/// A stick in one line, as it was measured.
#[must_use]
pub fn stick(document: &Value) -> String {
    let piece = serde_json::from_value::<scaling::Piece>(document.clone());
    piece.map_or_else(|error| error.to_string(), |piece| client::text::stick(&piece))
}

/// The head of a ticket in words.
#[must_use]
pub fn head(draft: &Draft, choices: &Choices) -> Vec<(String, String)> {
    let said = |name: &str| draft.values.get(name).to_owned();
    let mut all = vec![("Ticket".to_owned(), format!("{} {}", said("book"), said("number")))];
    let landing = choices.jobs.iter().flat_map(|job| job.landings.iter().map(move |landing| (job, landing)));
    let here = |(_, landing): &(_, &wire::LandingView)| landing.landing_id.to_string() == said("landing_id");
    if let Some((job, landing)) = landing.into_iter().find(here) {
        all.push(("Landing".to_owned(), format!("{}, {}", landing.name, job.name)));
    }
    all.push(("Scaled".to_owned(), format!("{} by {}", said("scaled_on"), said("scaler"))));
    let crew = |id: &str| {
        let known = choices.crews.iter().find(|crew| crew.crew_id.to_string() == id);
        known.map_or_else(|| id.to_owned(), |crew| crew.name.clone())
    };
    for task in TASKS {
        if let Some(id) = draft.values.filled(&format!("crew_{}", task.name())) {
            all.push((task.name().to_owned(), crew(id)));
        }
    }
    for row in 1..=draft.work_rows() {
        let said = |name: &str| draft.values.filled(&format!("w{row}_{name}"));
        if let (Some(task), Some(id)) = (said("task"), said("crew")) {
            let pieces = said("pieces")
                .map_or_else(|| "the other sticks".to_owned(), |pieces| format!("sticks {pieces}"));
            let parts = said("parts").map_or_else(String::new, |parts| format!(", {parts} parts"));
            all.push((task.to_owned(), format!("{}: {pieces}{parts}", crew(id))));
        }
    }
    let mill = |id: &str| {
        choices.mills.iter().find(|mill| mill.mill_id.to_string() == id).map(|mill| mill.name.clone())
    };
    for (name, label) in [
        ("moved_by", "Moved by"),
        ("skid_distance_ft", "Skidded, feet"),
        ("haul_distance_mi", "Hauled, miles"),
        ("remarks", "Remarks"),
        ("reason", "What was wrong"),
    ] {
        if let Some(text) = draft.values.filled(name) {
            all.push((label.to_owned(), text.to_owned()));
        }
    }
    all.extend(mill(draft.values.get("delivered_to")).map(|name| ("Delivered to".to_owned(), name)));
    all
}
