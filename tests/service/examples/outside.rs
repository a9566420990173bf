//! The part of the story that holds the scale against what came from outside: a mill's tally, and a cruise.

use serde_json::{Value, json};
use tests::Actor;

use super::recorder::Recorder;

/// Who and what the part is about.
pub struct Outside<'a> {
    /// Files.
    pub bookkeeper: &'a Actor,
    /// Reads.
    pub contractor: &'a Actor,
    /// The job.
    pub job: &'a Value,
    /// The mill.
    pub mill: &'a Value,
}

fn path(id: &Value, pattern: &str) -> String {
    pattern.replacen("{}", id.as_str().expect("an id"), 1)
}

/// Plays it.
pub fn play(recorder: &mut Recorder, outside: &Outside<'_>) {
    recorder.at("2026-06-22T12:00:00Z");
    saw(recorder, outside);
    cruise(recorder, outside);
}

fn saw(recorder: &mut Recorder, outside: &Outside<'_>) {
    let Outside { bookkeeper, contractor, job, mill } = outside;
    let tally = |board_feet: &str| {
        json!({"mill_id": mill, "job_id": job, "from": "2026-06-01", "to": "2026-06-06",
               "lumber": {"by_species": [{"species": "white pine", "board_feet": board_feet},
                                         {"species": "hemlock", "board_feet": "38"}]},
               "lumber_state": "rough_green", "tallied_by": "Tallyman of the river mill",
               "remarks": "sawn 4/4, edged"})
    };
    let wrong = recorder.quietly(bookkeeper, "/v1/mill-tallies", &tally("2640"));
    let withdrawal = path(&wrong["mill_tally_id"], "/v1/mill-tallies/{}/withdrawal");
    let reason = json!({"reason": "264 was written with a nought behind it"});
    let _withdrawn = recorder.shown("withdraw_mill_tally", bookkeeper, &withdrawal, Some(reason));
    let filed = recorder.shown("file_mill_tally", bookkeeper, "/v1/mill-tallies", Some(tally("264")));
    let _listed = recorder.shown("list_mill_tallies", contractor, "/v1/mill-tallies", None);
    let shown = path(&filed["mill_tally_id"], "/v1/mill-tallies/{}");
    let _shown = recorder.shown("show_mill_tally", contractor, &shown, None);
    let days = "/v1/audit/overrun?from=2026-06-01&to=2026-06-30";
    let _overrun = recorder.shown("audit_overrun", contractor, days, None);
}

fn cruise(recorder: &mut Recorder, outside: &Outside<'_>) {
    let Outside { bookkeeper, contractor, job, .. } = outside;
    let tree = |species: &str, diameter: &str, logs: &str, count: u32| json!({"species": species, "diameter_in": diameter, "logs": logs, "count": count});
    let measured = json!({
        "method": {"kind": "fixed_plots", "plot": {"acres": "0.2"}, "tract": {"acres": "2"}},
        "formula": {"by": "log_by_log", "rule": "scribner-decimal-c", "form_class": "80", "tapers_in": ["2", "2"]},
        "plots": [
            {"trees": [tree("white pine", "18", "2", 1), tree("hemlock", "12", "1", 1)]},
            {"trees": [tree("white pine", "20", "2.5", 1)]},
            {"trees": []}
        ]
    });
    let sent = json!({"job_id": job, "cruised_on": "2026-05-28", "cruiser": "Cruiser of the outfit",
                      "measured": measured, "remarks": "the swamp in the north was left out"});
    let filed = recorder.shown("file_cruise", bookkeeper, "/v1/cruises", Some(sent.clone()));
    let twice = recorder.quietly(bookkeeper, "/v1/cruises", &sent);
    let withdrawal = path(&twice["cruise_id"], "/v1/cruises/{}/withdrawal");
    let reason = json!({"reason": "filed twice"});
    let _withdrawn = recorder.shown("withdraw_cruise", bookkeeper, &withdrawal, Some(reason));
    let _listed = recorder.shown("list_cruises", contractor, "/v1/cruises", None);
    let shown = path(&filed["cruise_id"], "/v1/cruises/{}?allowed_percent=20");
    let _shown = recorder.shown("show_cruise", contractor, &shown, None);
    let contracts = contractor.get("/v1/contracts").expect(200);
    let felling = &contracts["items"][0]["contract_id"];
    let cut = path(felling, &path(&filed["cruise_id"], "/v1/audit/cut-out?cruise_id={}&contract_id={}"));
    let _cut = recorder.shown("audit_cut_out", contractor, &cut, None);
}
