//! A check scale of the mill's scale, an adjustment after it, and its taking back.

use serde_json::{Value, json};
use tests::Actor;

use super::recorder::Recorder;

/// Whose scale is checked, and who does it.
pub struct Checking<'a> {
    /// Files it.
    pub scaler: &'a Actor,
    /// Adjusts.
    pub bookkeeper: &'a Actor,
    /// Reads it.
    pub contractor: &'a Actor,
    /// The job.
    pub job: &'a Value,
}

/// Plays it.
pub fn play(recorder: &mut Recorder, checking: &Checking<'_>) {
    let contracts = checking.bookkeeper.get("/v1/contracts").expect(200);
    let of_mill = |one: &&Value| one["party"].get("mill_id").is_some();
    let contract =
        contracts["items"].as_array().expect("contracts").iter().find(of_mill).expect("the mill's");
    // The 14 inch log of ticket N 105.
    let tickets = checking.bookkeeper.get("/v1/tickets?book=N&from=2026-06-15&pieces=none").expect(200);
    let numbered = |one: &&Value| one["ticket"]["number"] == 105;
    let ticket = tickets["items"].as_array().expect("tickets").iter().find(numbered).expect("N 105");
    let log = json!({"product": "log", "species": "white pine", "small_diameter_in": ["13"], "length_ft": "16",
                     "length_in": "3"});
    let sent = json!({
        "contract_id": contract["contract_id"], "from": "2026-06-14", "to": "2026-06-20",
        "checked_on": "2026-06-16", "checker": "Check scaler of the mill", "notice": "unannounced",
        "pieces": [{"ticket_id": ticket["ticket_id"], "found": {"scaled_again": {"piece": 1, "facts": log}}}],
        "remarks": "in the mill's yard, in good light"
    });
    let list = "/v1/check-scales";
    let filed = recorder.shown("file_check_scale", checking.scaler, list, Some(sent));
    let job = checking.job.as_str().expect("an id");
    let _listed =
        recorder.shown("list_check_scales", checking.contractor, &format!("{list}?job_id={job}"), None);
    let one = format!("{list}/{}", filed["check_scale_id"].as_str().expect("an id"));
    let adjustment =
        Some(json!({"reason": "one inch too much", "although": "the contract states no tolerance"}));
    let adjusted = recorder.shown(
        "file_volume_adjustment",
        checking.bookkeeper,
        &format!("{one}/adjustments"),
        adjustment,
    );
    let _shown = recorder.shown("show_check_scale", checking.contractor, &one, None);
    let adjusted = adjusted["volume_adjustment_id"].as_str().expect("an id");
    let back = Some(json!({"reason": "a single log is no sample"}));
    let path = format!("/v1/volume-adjustments/{adjusted}/reversal");
    let _gone = recorder.shown("reverse_volume_adjustment", checking.bookkeeper, &path, back);
}
