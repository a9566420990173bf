//! The editions of the time: a week goes on coming out by the terms, tables, shares and hours that it was posted by, whatever
//! is filed afterwards; and what was paid beside the lines is worked out from what the books had then.

use serde_json::{Value, json};
use tests::{Furnished, Inspector, TestApp, log, ticket};

use crate::world::{log_table, text};

fn again(outfit: &Furnished, settlement: &Value) -> Value {
    let path = format!("/v1/settlements/{}/rederivation", text(settlement, "settlement_id"));
    outfit.contractor.get(&path).expect(200)
}

/// Terms that pay for felling by a table of the outfit's own.
fn by_table(table: &Value, price: &str) -> Value {
    json!({
        "effective_from": "2026-06-01", "practice": {"log": {"rule": "own-table", "table": table}},
        "rates": [{"name": "felling logs", "task": "felling", "product": "log",
                   "unit": "thousand_board_feet", "basis": "gross", "price": price}]
    })
}

#[test]
fn a_week_paid_by_an_own_table_comes_out_after_terms_and_table_were_amended() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let terms = format!("/v1/contracts/{}/terms", outfit.felling_contract);
    let table = outfit.bookkeeper.post("/v1/log-tables", &log_table("Camp scale")).expect(201);
    let named = json!({"table_id": table["table_id"]});
    let _filed = outfit.bookkeeper.post(&terms, &by_table(&named, "10")).expect(201);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("12", "16"), log("15.5", "12")]);
    let wrong = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let first = outfit.settle("2026-06-06");
    // 136 and 172 board feet, as the invented table has them: 308 at 10 a thousand.
    assert_eq!(first["lines"][0]["amount"]["amount"], "3.08");

    app.clock.set("2026-06-15T13:00:00Z".parse().expect("a time"));
    let mut other = log_table("Camp scale");
    other["cells"]["listed"]["rows"][0]["volumes"][2] = json!("100");
    other["acknowledged_falls"] = json!(true);
    let table = outfit.bookkeeper.post("/v1/log-tables", &other).expect(201);
    let named = json!({"table_id": table["table_id"]});
    let _amended = outfit.bookkeeper.post(&terms, &by_table(&named, "12")).expect(201);
    let right =
        json!({"reason": "one log too many", "ticket": ticket(&outfit, 2, "2026-06-03", &[log("12", "16")])});
    let path = format!("/v1/tickets/{}/corrections", text(&wrong, "ticket_id"));
    let _right = outfit.bookkeeper.post(&path, &right).expect(201);
    let set = json!({"effective_from": "2026-06-01", "method": "equally", "shares": [
        {"worker_id": first["lines"][0]["by_payee"][0]["payee"]["worker_id"]}]});
    let path = format!("/v1/crews/{}/share-sets", outfit.felling_crew);
    let _set = outfit.bookkeeper.post(&path, &set).expect(201);
    assert_eq!(again(&outfit, &first)["agrees"], true, "{:#}", again(&outfit, &first));
    let second = outfit.settle("2026-06-13");
    // The old key is taken back whole, the new terms pay 100 board feet at 12: 1.20.
    assert_eq!(again(&outfit, &second)["agrees"], true);
    assert_eq!(again(&outfit, &first)["compared"]["pieces"], 2);
    // Of the second week's lines the old ticket is counted by none any more.
    assert_eq!(again(&outfit, &second)["compared"]["pieces"], 1);
}

/// 29 CFR 778.111(a) (2015 ed.): 491.00 by pieces in 46 hours and 4 hours of waiting at 8.00 are 523.00 for 50 hours, 10.46
/// an hour; half of it for 10 hours is 52.30.
struct Peeling {
    app: TestApp,
    outfit: Furnished,
    database: Inspector,
    posted: Value,
    worker: String,
    charge: String,
}

impl Peeling {
    fn new() -> Self {
        let app = TestApp::start();
        let outfit = Furnished::new(&app);
        let file = |path: &str, body: Value| outfit.manager.post(path, &body).expect(201);
        let worker = text(&file("/v1/workers", json!({"name": "Peeler"})), "worker_id");
        let crew = text(&file("/v1/crews", json!({"name": "Peeling"})), "crew_id");
        let set = json!({"effective_from": "2026-06-01", "shares": [{"worker_id": worker, "parts": "1"}]});
        let _set = file(&format!("/v1/crews/{crew}/share-sets"), set);
        let rates = json!([
            {"name": "poles", "task": "peeling", "product": "pole", "unit": "piece", "price": "491.00"},
            {"name": "waiting", "task": "loading", "unit": "hour", "price": "8.00"}]);
        let contract = json!({"title": "Peeling", "job_id": outfit.job, "party": {"crew_id": crew},
            "terms": {"effective_from": "2026-06-01", "practice": {}, "rates": rates, "holdback": {"percent": "10"}}});
        let _contract = file("/v1/contracts", contract);
        let wages = json!({"effective_from": "2026-05-31", "terms": {"overtime": {"after_hours": "40"}}});
        let _wages = file("/v1/wage-terms", wages);
        let pole = json!({"product": "pole", "species": "cedar", "length_ft": "30"});
        let peeled = json!({"book": "P", "number": 1, "job_id": outfit.job, "landing_id": outfit.landing,
            "scaled_on": "2026-06-03", "scaler": "Yard scaler", "pieces": [pole],
            "work": [{"task": "peeling", "crew_id": crew}]});
        let _ticket = outfit.scaler.post("/v1/tickets", &peeled).expect(201);
        for (day, hours) in [("01", "10"), ("02", "10"), ("03", "10"), ("04", "10"), ("05", "6")] {
            let entry = json!({"worker_id": worker, "worked_on": format!("2026-06-{day}"), "hours": hours,
                               "what_for": {"kind": "piece_work"}});
            let _entry = file("/v1/time-entries", entry);
        }
        let waited = json!({"worker_id": worker, "worked_on": "2026-06-05", "hours": "4",
            "what_for": {"kind": "paid", "job_id": outfit.job, "crew_id": crew, "task": "loading"}});
        let _waited = file("/v1/time-entries", waited);
        let charge = json!({"worker_id": worker, "dated": "2026-06-05", "kind": "tools", "says": "a spud", "amount": "4"});
        let charge = text(&file("/v1/charges", charge), "charge_id");
        let posted = outfit.settle("2026-06-06");
        let database = Inspector::connect(&app.database.url());
        database.open_books_of(outfit.outfit);
        Self { app, outfit, database, posted, worker, charge }
    }

    fn tamper(&self, table: &str, change: &str) {
        let off = format!("ALTER TABLE {table} DISABLE TRIGGER USER");
        let on = format!("ALTER TABLE {table} ENABLE TRIGGER USER");
        let _none = self.database.ask(&format!("BEGIN; {off}; {change}; {on}; COMMIT"));
    }

    fn found(&self) -> Vec<(String, Value, Value)> {
        let again = again(&self.outfit, &self.posted);
        let listed = again["differences"].as_array().cloned().unwrap_or_default();
        let pointer =
            |one: &Value| text(one, "pointer").replace(&self.worker, "him").replace(&self.charge, "spud");
        listed.iter().map(|one| (pointer(one), one["stored"].clone(), one["derived"].clone())).collect()
    }
}

#[test]
fn hours_and_wages_filed_afterwards_change_nothing_of_what_was_posted() {
    let week = Peeling::new();
    let compared = again(&week.outfit, &week.posted)["compared"].clone();
    assert_eq!((&compared["time_entries"], &compared["rate_lines"]), (&json!(1), &json!(1)), "{compared:#}");
    let file = |path: &str, body: Value| week.outfit.manager.post(path, &body).expect(201);
    let entry = json!({"worker_id": week.worker, "worked_on": "2026-06-06", "hours": "3",
                       "what_for": {"kind": "piece_work"}});
    let _late = file("/v1/time-entries", entry);
    let wages = json!({"effective_from": "2026-05-31", "terms": {"overtime": {"after_hours": "30"}}});
    let _wages = file("/v1/wage-terms", wages);
    let undone = json!({"record": {"charge_id": week.charge}, "reason": "it was his own"});
    let _undone = file("/v1/reversals", undone);
    assert_eq!(week.found(), []);
    week.app.clock.set("2026-06-15T13:00:00Z".parse().expect("a time"));
    // The week is stated again: premium for more hours past fewer, and the charge given back. Both weeks come out.
    let second = week.outfit.settle("2026-06-13");
    assert_eq!(again(&week.outfit, &second)["agrees"], true);
}

#[test]
fn additions_take_offs_and_hours_that_were_changed() {
    let week = Peeling::new();
    let dollars = |text: &str| json!(format!("{text} USD"));
    week.tamper("settlement_supplement", "UPDATE settlement_supplement SET amount_minor = 6230");
    let added = "/pays/him/supplements/2026-06-06/overtime_premium".to_owned();
    let found = week.found();
    assert_eq!(found[0], (added.clone(), dollars("62.30"), dollars("52.30")), "{found:#?}");
    // The journal and the statement are of the old figure.
    assert_eq!(found.iter().filter(|one| one.0.starts_with("/journal/")).count(), 2, "{found:#?}");
    assert_eq!(found.iter().filter(|one| one.0.starts_with("/statements/him/")).count(), 2, "{found:#?}");
    assert_eq!(found.len(), 5, "{found:#?}");
    week.tamper("settlement_supplement", "UPDATE settlement_supplement SET amount_minor = 5230");
    assert_eq!(week.found(), []);

    // He is charged for more than was posted: what is due is another sum.
    week.tamper("charge", "UPDATE charge SET amount_minor = 500, most_a_week_minor = 500");
    let found = week.found();
    assert_eq!(found.len(), 1, "{found:#?}");
    let spud = |amount: &str| json!(format!("charge {}: {amount} USD due, {amount} USD taken", week.charge));
    assert_eq!(found[0], ("/pays/him/take_offs/2".to_owned(), spud("4.00"), spud("5.00")));
    week.tamper("charge", "UPDATE charge SET amount_minor = 400, most_a_week_minor = 400");

    // An hour more of waiting: 4 at 8.00 were posted; the whole week is 51 hours and 531.00.
    week.tamper("time_entry", "UPDATE time_entry SET hours = 5000000 WHERE what_for = 'paid'");
    let found = week.found();
    let of_lines: Vec<_> = found.iter().filter(|one| one.0.starts_with("/lines/")).collect();
    assert_eq!(
        of_lines.iter().map(|one| (&one.1, &one.2)).collect::<Vec<_>>(),
        [
            (&json!("4"), &json!("5")),
            (&dollars("32.00"), &dollars("40.00")),
            (&dollars("32.00"), &dollars("40.00"))
        ],
        "{found:#?}"
    );
    // 523.00 ÷ 51 hours, half of it × 11 hours past 40: 56.40.
    assert!(found.contains(&(added, dollars("52.30"), dollars("56.40"))), "{found:#?}");
}
