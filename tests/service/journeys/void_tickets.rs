//! Void tickets: nothing is made of them, whatever else they say.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};

#[test]
fn a_void_ticket_is_not_worked_out_again_for_the_mill_that_it_names() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let wrong = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]);
    let wrong = outfit.scaler.post("/v1/tickets", &wrong).expect(201);
    let mut void = ticket(&outfit, 2, "2026-06-03", &[]);
    void["work"] = json!([]);
    assert!(void["delivered_to"].is_string(), "{void:#}");
    let path = format!("/v1/tickets/{}/corrections", wrong["ticket_id"].as_str().expect("an id"));
    let _void = outfit.bookkeeper.post(&path, &json!({"reason": "scaled twice", "ticket": void})).expect(201);
    let standing = ticket(&outfit, 3, "2026-06-03", &[log("12", "16")]);
    let _standing = outfit.scaler.post("/v1/tickets", &standing).expect(201);

    let terms = json!({
        "effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}},
        "rates": [{"name": "logs", "task": "delivery", "product": "log", "unit": "thousand_board_feet",
                   "basis": "net", "price": "40"}]
    });
    let contracts = outfit.bookkeeper.get("/v1/contracts").expect(200);
    let with_mill = |contract: &&Value| contract["party"].get("mill_id").is_some();
    let contract = contracts["items"].as_array().expect("contracts").iter().find(with_mill);
    let path = format!(
        "/v1/contracts/{}/terms",
        contract.expect("the mill's")["contract_id"].as_str().expect("an id")
    );
    let filed = outfit.bookkeeper.post(&path, &terms).expect(201);
    assert_eq!(filed["tickets_worked_out_again"], 1, "{filed:#}");
}
