//! What is held against the scale from outside: the requests about mill tallies and cruises.

use client::{Client, CruiseQuery, CutOutQuery, EstimateQuery, MillTallyQuery, OverrunQuery};
use jiff::civil::date;
use serde_json::{Value, json};

use crate::operations::{ID, body, id};

fn tally() -> Value {
    json!({"mill_id": ID, "from": "2031-06-01", "to": "2031-06-07", "lumber": {"in_all": "1000"},
           "lumber_state": "rough_dry", "tallied_by": "T"})
}

fn cruise() -> Value {
    json!({"job_id": ID, "cruised_on": "2031-05-04", "cruiser": "C", "measured": {
        "method": {"kind": "complete"}, "formula": {"by": "form_factor", "form": "cone"},
        "plots": [{"trees": [{"species": "ash", "diameter_in": "12", "height_ft": "40"}]}]}})
}

/// Asks for one operation; none of the others.
pub(crate) async fn ask(operation: &str, client: &Client) -> Option<bool> {
    let reason = json!({"reason": "R"});
    let (from, to) = (date(2031, 6, 1), date(2031, 6, 7));
    let refused = match operation {
        "file_mill_tally" => client.file_mill_tally(&body(tally())).await.is_err(),
        "list_mill_tallies" => {
            let query =
                MillTallyQuery { mill_id: Some(id()), standing: Some(true), ..MillTallyQuery::default() };
            client.list_mill_tallies(&query).await.is_err()
        }
        "show_mill_tally" => client.show_mill_tally(id()).await.is_err(),
        "withdraw_mill_tally" => client.withdraw_mill_tally(id(), &body(reason)).await.is_err(),
        "audit_overrun" => {
            let query = OverrunQuery { from, to, mill_id: Some(id()), job_id: None };
            client.audit_overrun(&query).await.is_err()
        }
        "file_cruise" => client.file_cruise(&body(cruise())).await.is_err(),
        "list_cruises" => {
            let query = CruiseQuery { job_id: Some(id()), from: Some(from), ..CruiseQuery::default() };
            client.list_cruises(&query).await.is_err()
        }
        "show_cruise" => {
            let query = EstimateQuery {
                confidence: Some(audit::Confidence::NinetyNine),
                allowed_percent: Some("10".parse().unwrap()),
            };
            client.show_cruise(id(), &query).await.is_err()
        }
        "withdraw_cruise" => client.withdraw_cruise(id(), &body(reason)).await.is_err(),
        "audit_cut_out" => {
            let query = CutOutQuery { cruise_id: id(), contract_id: id(), to: Some(to), confidence: None };
            client.audit_cut_out(&query).await.is_err()
        }
        _ => return None,
    };
    Some(refused)
}
