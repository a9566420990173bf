//! Mill tallies and cruises of a world: requests that it would accept.

use serde_json::{Value, json};
use tests::Furnished;

use crate::world::{Sample, World, text};

/// What the outfit's mill sawed out of the logs of the first week.
pub fn tally(outfit: &Furnished, board_feet: &str) -> Value {
    json!({"mill_id": outfit.mill_id, "job_id": outfit.job, "from": "2026-06-01", "to": "2026-06-06",
           "lumber": {"in_all": board_feet}, "lumber_state": "rough_green", "tallied_by": "Tallyman of the mill"})
}

/// A cruise of the outfit's tract: two plots of a fifth of an acre, one of them empty.
pub fn cruise(outfit: &Furnished) -> Value {
    json!({
        "job_id": outfit.job, "cruised_on": "2026-05-20", "cruiser": "Cruiser of the outfit",
        "measured": {
            "method": {"kind": "fixed_plots", "plot": {"acres": "0.2"}, "tract": {"acres": "40"}},
            "formula": {"by": "log_by_log", "rule": "scribner-decimal-c", "form_class": "80", "tapers_in": ["2"]},
            "plots": [{"trees": [{"species": "white pine", "diameter_in": "20", "logs": "2", "count": 3}]},
                      {"trees": []}]
        }
    })
}

/// Files a tally; answers with its id.
pub fn filed_tally(outfit: &Furnished) -> String {
    text(&outfit.manager.post("/v1/mill-tallies", &tally(outfit, "1000")).expect(201), "mill_tally_id")
}

/// Files a cruise; answers with its id.
pub fn filed_cruise(outfit: &Furnished) -> String {
    text(&outfit.manager.post("/v1/cruises", &cruise(outfit)).expect(201), "cruise_id")
}

/// A request for an operation about these that would be accepted; none for other operations.
pub fn sample(world: &World, operation: &str) -> Option<Sample> {
    let outfit = &world.outfit;
    let reason = || Some(json!({"reason": "the wrong week's sheet"}));
    let (path, body) = match operation {
        "file_mill_tally" => ("/v1/mill-tallies".to_owned(), Some(tally(outfit, "1000"))),
        "list_mill_tallies" => {
            let _filed = filed_tally(outfit);
            (format!("/v1/mill-tallies?mill_id={}&job_id={}", outfit.mill_id, outfit.job), None)
        }
        "show_mill_tally" => (format!("/v1/mill-tallies/{}", filed_tally(outfit)), None),
        "withdraw_mill_tally" => (format!("/v1/mill-tallies/{}/withdrawal", filed_tally(outfit)), reason()),
        "audit_overrun" => {
            let _filed = filed_tally(outfit);
            let (mill, job) = (&outfit.mill_id, &outfit.job);
            let days = "from=2026-06-01&to=2026-06-06";
            (format!("/v1/audit/overrun?{days}&mill_id={mill}&job_id={job}"), None)
        }
        "file_cruise" => ("/v1/cruises".to_owned(), Some(cruise(outfit))),
        "list_cruises" => {
            let _filed = filed_cruise(outfit);
            (format!("/v1/cruises?job_id={}", outfit.job), None)
        }
        "show_cruise" => (format!("/v1/cruises/{}", filed_cruise(outfit)), None),
        "withdraw_cruise" => (format!("/v1/cruises/{}/withdrawal", filed_cruise(outfit)), reason()),
        "audit_cut_out" => {
            let (cruise, contract) = (filed_cruise(outfit), &outfit.felling_contract);
            (format!("/v1/audit/cut-out?cruise_id={cruise}&contract_id={contract}"), None)
        }
        _ => return None,
    };
    Some(Sample { path, body })
}
