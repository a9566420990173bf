//! Readings that take turns along the ticket, on their way from the yard to the pay line.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};

/// Terms for the felling crew whose exact halves go up and down in turn.
fn alternating_terms() -> Value {
    json!({
        "effective_from": "2026-06-01",
        "practice": {"log": {"rule": "doyle", "one_reading": "alternating"}},
        "rates": [{"name": "felling logs", "task": "felling", "product": "log", "unit": "thousand_board_feet",
                   "basis": "gross", "price": "10.01"}]
    })
}

fn grosses(scale: &Value) -> Vec<&str> {
    let pieces = scale["pieces"].as_array().expect("pieces");
    pieces.iter().map(|piece| piece["gross"].as_str().unwrap_or("none")).collect()
}

#[test]
fn halves_go_up_and_down_along_the_pieces_a_crew_is_paid_for() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let terms = format!("/v1/contracts/{}/terms", outfit.felling_contract);
    let _filed = outfit.bookkeeper.post(&terms, &alternating_terms()).expect(201);
    // Doyle (d - 4)² at 16 feet: 12.5 is read as 13 and makes 81, then as 12 and makes 64. The third stick was felled by
    // somebody else, so it takes no turn of the crew's contract.
    let halves = [log("12.5", "16"), log("12.5", "16"), log("12.5", "16"), log("12.5", "16")];
    let mut sent = ticket(&outfit, 1, "2026-06-03", &halves);
    sent["work"][0]["pieces"] = json!([1, 2, 4]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let felling = accepted["scaled"].as_array().expect("contracts");
    let felling =
        felling.iter().find(|one| one["contract_id"] == outfit.felling_contract.as_str()).expect("felling");
    assert_eq!(grosses(felling), ["81", "64", "none", "81"]);

    let id = accepted["ticket_id"].as_str().expect("an id");
    let working = outfit.contractor.get(&format!("/v1/tickets/{id}/working")).expect(200);
    let scaled: Vec<_> = working["pieces"]
        .as_array()
        .expect("pieces")
        .iter()
        .filter(|one| one["contract_id"] == outfit.felling_contract.as_str())
        .map(|one| (one["piece"].as_i64(), one["scaled"]["volume"]["gross"].as_str()))
        .collect();
    assert_eq!(scaled, [(Some(1), Some("81")), (Some(2), Some("64")), (Some(4), Some("81"))]);

    let posted = outfit.settle("2026-06-06");
    let lines = posted["lines"].as_array().expect("lines");
    let line = lines.iter().find(|line| line["task"] == "felling").expect("felling");
    assert_eq!(line["quantity"], "226");
    let path =
        format!("/v1/settlements/{}/lines/{}", posted["settlement_id"].as_str().unwrap(), line["number"]);
    let explained = outfit.contractor.get(&path).expect(200);
    let says: Vec<_> = explained["tickets"][0]["pieces"]
        .as_array()
        .expect("sticks")
        .iter()
        .map(|stick| stick["working"].to_string())
        .collect();
    assert_eq!(says.len(), 3);
    assert!(says[0].contains("13") && !says[1].contains("13 inches"), "{says:#?}");
    assert!(says.iter().all(|steps| steps != "[]"), "{says:#?}");
}

#[test]
fn a_piece_alone_has_no_turn() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let terms = format!("/v1/contracts/{}/terms", outfit.felling_contract);
    let filed = outfit.bookkeeper.post(&terms, &alternating_terms()).expect(201);
    let alone = json!({"terms_id": filed["terms"]["terms_id"], "piece": log("12.5", "16")});
    let refused = outfit.scaler.post("/v1/scale/piece", &alone).expect(422);
    assert_eq!(refused["code"], "cannot-scale");
    assert!(refused["detail"].as_str().unwrap_or_default().contains("place-on-ticket-needed"), "{refused:#}");
    let whole = json!({"terms_id": filed["terms"]["terms_id"], "piece": log("12", "16")});
    let scaled = outfit.scaler.post("/v1/scale/piece", &whole).expect(200);
    assert_eq!(scaled["volume"]["gross"], "64");
}
