//! A week's volumes are sums that were written down ticket by ticket; they come to what the sticks themselves come to.

use serde_json::{Value, json};
use tests::{Furnished, Inspector, TestApp, log, ticket};

/// A log of another kind.
fn hemlock(diameter_in: &str) -> Value {
    json!({"product": "log", "species": "Hemlock", "small_diameter_in": [diameter_in], "length_ft": "16"})
}

/// One so rotten that nothing is left of it.
fn rotten() -> Value {
    let mut stick = log("12", "16");
    stick["defects"] = json!([{"kind": "heart_rot", "method": "squared", "width_in": "12", "height_in": "12",
                               "length_ft": "16"}]);
    stick
}

#[test]
fn sums_of_tickets_are_sums_of_their_sticks() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let pole = json!({"product": "pole", "species": "cedar", "length_ft": "30"});
    let some = [log("16", "16"), hemlock("14"), rotten(), hemlock("12"), pole];
    let mut part = ticket(&outfit, 2, "2026-06-04", &some);
    // Only these were felled by the crew, so only these are under its contract.
    part["work"][0]["pieces"] = json!([1, 2]);
    for sent in [ticket(&outfit, 1, "2026-06-03", &some[..4]), part] {
        let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    }
    let volumes = || {
        let draft = json!({"week_ends_on": "2026-06-06"});
        let draft = outfit.bookkeeper.post("/v1/settlements?dry_run=true", &draft);
        draft.body["volumes"].clone()
    };
    let written_down = volumes();
    let contracts = written_down.as_array().expect("contracts");
    let felling = contracts.iter().find(|one| one["contract_id"] == outfit.felling_contract.as_str());
    let rows = felling.expect("the felling")["rows"].as_array().expect("rows");
    let told: Vec<_> = rows
        .iter()
        .map(|row| (row["species"].as_str(), row["pieces"].as_i64(), row["culls"].as_i64()))
        .collect();
    // Two tickets' pine and hemlock, without what of the second ticket is nobody's and without the pole.
    assert_eq!(told, [(Some("hemlock"), Some(3), Some(0)), (Some("white pine"), Some(3), Some(1))]);
    let database = Inspector::connect(&app.database.url());
    database.open_books_of(outfit.outfit);
    for which in ["ticket_id = (SELECT min(ticket_id::text)::uuid FROM ticket)", "true"] {
        // As it is where they were derived before the sums were written down.
        let _none = database.ask(&format!(
            "BEGIN; ALTER TABLE derivation DISABLE TRIGGER USER; UPDATE derivation SET timber = NULL WHERE {which};
             ALTER TABLE derivation ENABLE TRIGGER USER; COMMIT"
        ));
        assert_eq!(volumes(), written_down, "the sticks where {which}");
    }
}
