//! A week of more tickets than are read at once: all of them are counted, in whichever portion they come, and what differs is
//! told in the order of the tickets.

use reqwest::Method;
use serde_json::{Value, json};
use tests::{Furnished, Inspector, TestApp, log, ticket};

use crate::world::text;

/// More than two portions of 250, and a last one that is not full.
const TICKETS: u32 = 620;

#[test]
fn a_week_of_several_portions_is_counted_whole() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let path = posted_week(&outfit);
    let again = || outfit.contractor.get(&format!("{path}/rederivation")).expect(200);
    let clean = again();
    assert_eq!(clean["agrees"], true, "{clean:#}");
    let counts = |member: &str| clean["compared"][member].clone();
    assert_eq!((counts("tickets"), counts("pieces")), (json!(TICKETS), json!(2 * TICKETS)));
    // Three contracts make three derivations of each ticket.
    assert_eq!((counts("derivations"), counts("rate_lines")), (json!(3 * TICKETS), json!(3 * TICKETS)));

    let database = Inspector::connect(&app.database.url());
    database.open_books_of(outfit.outfit);
    let of_felling = |number: u32| {
        format!(
            "derivation_id = (SELECT derivation_id FROM derivation JOIN ticket USING (outfit_id, ticket_id)
                              WHERE number = {number} AND contract_id = '{}')",
            outfit.felling_contract
        )
    };
    // The first of all, the last of a portion, the first of the next, one amid it, the last of all.
    for (table, change) in [
        ("ticket", "UPDATE ticket SET remarks = 'another hand' WHERE number IN (1, 620)".to_owned()),
        ("derivation", format!("UPDATE derivation SET net[2] = 1000000 WHERE {}", of_felling(250))),
        ("accrual", format!("UPDATE accrual SET quantity = 5000000 WHERE {}", of_felling(251))),
        ("derivation", format!("UPDATE derivation SET culls[1] = 'planted' WHERE {}", of_felling(400))),
    ] {
        let _none = database.ask(&format!(
            "BEGIN; ALTER TABLE {table} DISABLE TRIGGER USER; {change}; ALTER TABLE {table} ENABLE TRIGGER USER; COMMIT"
        ));
    }
    let found = again();
    let told: Vec<_> = found["differences"].as_array().expect("faults").iter().map(place).collect();
    let places = ["1 fingerprint", "250 net", "251 quantity", "400 cull", "620 fingerprint"];
    assert_eq!(told, places, "{found:#}");
    assert_eq!(found["difference_count"], json!(places.len()));
    assert_eq!(found["compared"], clean["compared"]);
}

/// The number of a difference's ticket, and the member that differs.
fn place(difference: &Value) -> String {
    let member = text(difference, "pointer");
    let member = member.rsplit('/').next().unwrap_or_default();
    format!("{} {member}", difference["ticket"]["number"])
}

/// Posts a week of tickets with two logs each; answers with the path of its settlement.
fn posted_week(outfit: &Furnished) -> String {
    let lines: Vec<String> = (1..=TICKETS)
        .map(|number| ticket(outfit, number, "2026-06-03", &[log("16", "16"), log("12", "16")]).to_string())
        .collect();
    let sent = outfit.scaler.send_as(
        Method::POST,
        "/v1/ticket-batches",
        Some(lines.join("\n")),
        "application/x-ndjson",
    );
    assert_eq!(sent.status, 200, "{}", sent.text);
    let draft = outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": "2026-06-06"})).expect(201);
    let path = format!("/v1/settlements/{}", text(&draft, "settlement_id"));
    let _posted = outfit.bookkeeper.put(&format!("{path}/posting")).expect(201);
    path
}
