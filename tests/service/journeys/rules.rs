//! The list of rules: what a contract can name, a contract can be filed with.

use serde_json::json;
use tests::{Furnished, TestApp};

#[test]
fn every_listed_rule_of_logs_and_each_of_its_editions_can_be_agreed() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let listed = app.stranger().get("/v1/rules").expect(200);
    let rules = listed["items"].as_array().expect("rules");
    assert!(rules.len() > 25, "{}", rules.len());
    let cents = json!({"step": "0.01", "mode": "half_up"});
    let terms = format!("/v1/contracts/{}/terms", outfit.felling_contract);
    for rule in rules.iter().filter(|rule| rule["takes"] != "width_and_thickness" && rule["takes"] != "girth")
    {
        for edition in rule["editions"].as_array().expect("editions") {
            let agreed = json!({
                "effective_from": "2026-06-10", "rates": [],
                "practice": {"log": {"rule": rule["name"], "edition": edition["name"],
                                     "volume_rounding": cents, "deduction_rounding": cents}}
            });
            let reply = outfit.bookkeeper.post(&terms, &agreed);
            assert_eq!(reply.status, 201, "{} {}: {:#}", rule["name"], edition["name"], reply.body);
        }
    }
}
