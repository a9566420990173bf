//! Lists as comma-separated values.

use api::routes::OPERATIONS;
use serde_json::json;
use tests::{TestApp, log, ticket};

use crate::world::World;

/// Head and rows as a reader of the standard reads them (RFC 4180).
fn read(text: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader = csv::ReaderBuilder::new().from_reader(text.as_bytes());
    let head = reader.headers().expect("a head").iter().map(str::to_owned).collect();
    let rows = reader
        .records()
        .map(|row| row.expect("as many fields as the head").iter().map(str::to_owned).collect())
        .collect();
    (head, rows)
}

#[test]
fn every_list_is_had_as_rows() {
    let app = TestApp::start();
    let world = World::new(&app);
    let sample = world.sample("void_numbers");
    let body = sample.body.expect("a body");
    let _voided = world.outfit.scaler.post(&sample.path, &body).expect(201);
    let certificate = world.sample("file_scaler_certificate");
    let _filed = world.outfit.manager.post(&certificate.path, &certificate.body.expect("a body")).expect(201);
    for operation in OPERATIONS.iter().filter(|one| one.is_list()) {
        let path = world.sample(operation.id).path;
        let mark = if path.contains('?') { '&' } else { '?' };
        let named = world.outfit.manager.get(&format!("{path}{mark}format=csv"));
        assert_eq!(named.status, 200, "{}: {:#}", named.asked, named.body);
        assert_eq!(named.header("content-type"), Some("text/csv; charset=utf-8; header=present"));
        assert!(named.text.ends_with("\r\n"), "{}", operation.id);
        let (head, rows) = read(&named.text);
        assert!(head.len() > 2 && head.iter().all(|name| !name.is_empty()), "{head:?}");
        let json = world.outfit.manager.get(&path).expect(200);
        let items = [&json["items"], &json["wage_terms"], &json].into_iter().find_map(|one| one.as_array());
        let items = items.expect("a list");
        assert!(rows.len() >= items.len(), "{}", operation.id);
        let liked = world.outfit.manager.get_with(&path, "Accept", "text/csv");
        assert_eq!(liked.text, named.text, "{}", operation.id);
        let either = world.outfit.manager.get_with(&path, "Accept", "*/*");
        assert_eq!(either.header("content-type"), Some("application/json"), "{}", operation.id);
        let both = world.outfit.manager.get_with(&format!("{path}{mark}format=json"), "Accept", "text/csv");
        assert_eq!(
            both.header("content-type"),
            Some("application/json"),
            "what is named is what is answered"
        );
    }
}

/// A page of rows says where the next is, in the same form.
#[test]
fn rows_come_in_pages_too() {
    let app = TestApp::start();
    let world = World::new(&app);
    let page = world.outfit.manager.get("/v1/workers?limit=2&format=csv");
    let (_, rows) = read(&page.text);
    assert_eq!(rows.len(), 2);
    let links = page.header("link").expect("links");
    let next = links.split(", <").nth(1).and_then(|link| link.split('>').next()).expect("a next page");
    assert!(next.contains("format=csv") && next.contains("limit=2"), "{next}");
    let (_, more) = read(&world.outfit.manager.get(next).text);
    assert!(!more.is_empty() && more[0] != rows[0]);
}

/// The trap: names that begin like a formula are made harmless, and numbers below zero stay numbers.
#[test]
fn formulas_are_made_harmless_and_numbers_left_alone() {
    let app = TestApp::start();
    let world = World::new(&app);
    let manager = &world.outfit.manager;
    for name in ["=1+1", "+1", "-12.50", "@sum", "plain, \"quoted\""] {
        let _filed = manager.post("/v1/workers", &json!({"name": name})).expect(201);
    }
    let (head, rows) = read(&manager.get("/v1/workers?limit=500&format=csv").text);
    assert_eq!(head, ["worker_id", "name", "made_at"]);
    let names: Vec<_> = rows.iter().map(|row| row[1].as_str()).collect();
    assert!(names.ends_with(&["'=1+1", "'+1", "'-12.50", "'@sum", "plain, \"quoted\""]), "{names:?}");
    // A charge of a settled week is taken back after it was taken: something is to be given back.
    let charge = json!({"worker_id": world.sawyer, "dated": "2026-06-10", "kind": "store", "says": "-5",
                        "amount": "0.10"});
    let charge = manager.post("/v1/charges", &charge).expect(201);
    let _posted = world.outfit.settle("2026-06-13");
    let record = json!({"record": {"charge_id": charge["charge_id"]}, "reason": "=never had it"});
    let _reversed = manager.post("/v1/reversals", &record).expect(201);
    let (head, rows) = read(&manager.get("/v1/charges?format=csv").text);
    let column = |name: &str| head.iter().position(|one| one == name).unwrap_or_else(|| panic!("{head:?}"));
    let row = rows.last().expect("a charge");
    assert_eq!(row[column("outstanding")], "-0.10", "{row:?}");
    assert_eq!(row[column("says")], "'-5");
    assert_eq!(row[column("reversal_reason")], "'=never had it");
}

/// A mill's rows hold what the mill sees, no more.
#[test]
fn rows_are_as_narrow_as_the_list() {
    let app = TestApp::start();
    let world = World::new(&app);
    let mut elsewhere = ticket(&world.outfit, 80, "2026-06-15", &[log("16", "16")]);
    elsewhere["delivered_to"] = json!(world.other_mill);
    let _posted = world.outfit.scaler.post("/v1/tickets", &elsewhere).expect(201);
    let (_, all) = read(&world.outfit.manager.get("/v1/tickets?format=csv").text);
    let (_, seen) = read(&world.outfit.mill.get("/v1/tickets?format=csv").text);
    assert_eq!(seen.len() + 1, all.len());
}
