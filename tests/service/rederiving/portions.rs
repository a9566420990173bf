//! A week of more tickets than are read at once: all of them are counted, in whichever portion they come.

use reqwest::Method;
use serde_json::{Value, json};
use tests::{Furnished, Inspector, TestApp, log, ticket};

use crate::world::text;

const TICKETS: u32 = 180;

#[test]
fn a_week_of_several_portions_is_counted_whole() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let lines: Vec<String> = (1..=TICKETS)
        .map(|number| ticket(&outfit, number, "2026-06-03", &[log("16", "16"), log("12", "16")]).to_string())
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
    let again = || outfit.contractor.get(&format!("{path}/rederivation")).expect(200);
    let clean = again();
    assert_eq!(clean["agrees"], true, "{clean:#}");
    // Three contracts make three derivations of each ticket: more than the 500 that are read at once.
    let counts = |member: &str| clean["compared"][member].clone();
    assert_eq!((counts("tickets"), counts("pieces")), (json!(TICKETS), json!(2 * TICKETS)));
    assert_eq!((counts("derivations"), counts("rate_lines")), (json!(3 * TICKETS), json!(3 * TICKETS)));

    let database = Inspector::connect(&app.database.url());
    database.open_books_of(outfit.outfit);
    let last = format!("UPDATE ticket SET remarks = 'another hand' WHERE number IN (1, {TICKETS})");
    let _none = database.ask(&format!(
        "BEGIN; ALTER TABLE ticket DISABLE TRIGGER USER; {last}; ALTER TABLE ticket ENABLE TRIGGER USER; COMMIT"
    ));
    let found = again();
    let numbers: Vec<&Value> =
        found["differences"].as_array().expect("faults").iter().map(|one| &one["ticket"]["number"]).collect();
    assert_eq!(numbers, [&json!(1), &json!(TICKETS)], "{found:#}");
}
