//! Hours, and what they add to a week: published examples from the yard to the statement.

use serde_json::{Value, json};
use tests::{Furnished, TestApp};

fn id(body: &Value, member: &str) -> String {
    body[member].as_str().unwrap_or_else(|| panic!("no {member} in {body:#}")).to_owned()
}

/// A man who peels poles by the piece and is paid by the hour while he waits for the team.
struct Peeler<'a> {
    outfit: &'a Furnished,
    worker: String,
    crew: String,
}

impl<'a> Peeler<'a> {
    fn hired(outfit: &'a Furnished, a_pole: &str) -> Self {
        let file =
            |path: &str, body: Value, member: &str| id(&outfit.manager.post(path, &body).expect(201), member);
        let worker = file("/v1/workers", json!({"name": "Peeler"}), "worker_id");
        let crew = file("/v1/crews", json!({"name": "Peeling"}), "crew_id");
        let set = json!({"effective_from": "2026-06-01", "shares": [{"worker_id": worker, "parts": "1"}]});
        let _set = outfit.manager.post(&format!("/v1/crews/{crew}/share-sets"), &set).expect(201);
        let contract = json!({
            "title": "Peeling", "job_id": outfit.job, "party": {"crew_id": crew},
            "terms": {"effective_from": "2026-06-01", "practice": {}, "rates": [
                {"name": "poles", "task": "peeling", "product": "pole", "unit": "piece", "price": a_pole},
                {"name": "waiting", "task": "loading", "unit": "hour", "price": "8.00"}]}
        });
        let _contract = file("/v1/contracts", contract, "contract_id");
        Self { outfit, worker, crew }
    }

    fn peels(&self, number: u32, day: &str, poles: usize) {
        let pole = json!({"product": "pole", "species": "cedar", "length_ft": "30"});
        let ticket = json!({
            "book": "P", "number": number, "job_id": self.outfit.job, "landing_id": self.outfit.landing,
            "scaled_on": day, "scaler": "Yard scaler", "work": [{"task": "peeling", "crew_id": self.crew}],
            "pieces": vec![pole; poles]
        });
        let _accepted = self.outfit.scaler.post("/v1/tickets", &ticket).expect(201);
    }

    fn works(&self, day: &str, hours: &str, paid_by_time: bool) {
        let what_for = if paid_by_time {
            json!({"kind": "paid", "job_id": self.outfit.job, "crew_id": self.crew, "task": "loading"})
        } else {
            json!({"kind": "piece_work"})
        };
        let entry = json!({"worker_id": self.worker, "worked_on": day, "hours": hours, "what_for": what_for});
        let _entry = self.outfit.bookkeeper.post("/v1/time-entries", &entry).expect(201);
    }

    /// His pay in a settlement.
    fn pay(&self, settlement: &Value) -> Value {
        let pays = settlement["pays"].as_array().unwrap_or_else(|| panic!("no pays in {settlement:#}"));
        let mine = pays.iter().find(|pay| pay["payee"]["worker_id"] == self.worker.as_str());
        mine.unwrap_or_else(|| panic!("no pay of his in {settlement:#}")).clone()
    }

    /// His statement of a settlement.
    fn statement(&self, settlement: &Value) -> Value {
        let path = format!(
            "/v1/statements?settlement_id={}&worker_id={}",
            id(settlement, "settlement_id"),
            self.worker
        );
        let listed = self.outfit.bookkeeper.get(&path).expect(200);
        let path = format!("/v1/statements/{}", id(&listed["items"][0], "statement_id"));
        self.outfit.bookkeeper.get(&path).expect(200)
    }
}

fn agree_on_wages(outfit: &Furnished, terms: Value) {
    let filed = json!({"effective_from": "2026-05-31", "terms": terms});
    let _filed = outfit.bookkeeper.post("/v1/wage-terms", &filed).expect(201);
}

fn amount<'a>(of: &'a Value, member: &str) -> &'a str {
    of[member]["amount"].as_str().unwrap_or_else(|| panic!("no {member} in {of:#}"))
}

/// 29 CFR 778.111(a) (2015 ed.): 491.00 by pieces in 46 hours and 4 hours of waiting at 8.00 make 523.00 for 50 hours,
/// 10.46 an hour; half of it for 10 hours is 52.30; the week comes to 575.30.
#[test]
fn a_pieceworkers_week_with_overtime_and_what_a_late_ticket_makes_of_it() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let peeler = Peeler::hired(&outfit, "491.00");
    agree_on_wages(&outfit, json!({"overtime": {"after_hours": "40"}}));
    peeler.peels(1, "2026-06-03", 1);
    for (day, hours) in [("01", "10"), ("02", "10"), ("03", "10"), ("04", "10"), ("05", "6")] {
        peeler.works(&format!("2026-06-{day}"), hours, false);
    }
    peeler.works("2026-06-05", "4", true);
    let posted = outfit.settle("2026-06-06");
    let pay = peeler.pay(&posted);
    assert_eq!((amount(&pay, "earned"), pay["regular_rate"].as_str()), ("523.00", Some("10.46")));
    assert_eq!((amount(&pay, "added"), amount(&pay, "total")), ("52.30", "575.30"));
    assert_eq!((&pay["hours"]["all"], &pay["hours"]["overtime"]), (&json!("50"), &json!("10")));
    assert!(pay["working"].to_string().contains("half of it × 10 hours"), "{pay:#}");
    assert_eq!(amount(&peeler.statement(&posted), "closing"), "575.30");

    // Another pole of that week comes late. Each week stands alone (29 CFR 778.104): its regular rate is now 20.28, and
    // half of it for 10 hours is 101.40.
    app.clock.set("2026-06-15T13:00:00Z".parse().unwrap());
    peeler.peels(2, "2026-06-04", 1);
    let second = outfit.settle("2026-06-13");
    let pay = peeler.pay(&second);
    assert_eq!((amount(&pay, "earned"), amount(&pay, "added")), ("491.00", "49.10"));
    let premium = &pay["supplements"][0];
    assert_eq!(
        (premium["kind"].as_str(), premium["week_ends_on"].as_str()),
        (Some("adjustment"), Some("2026-06-06"))
    );
    assert_eq!((amount(premium, "now_amount"), amount(premium, "formerly_amount")), ("101.40", "52.30"));
    let statement = peeler.statement(&second);
    let foots =
        ["opening", "moved", "earned", "added", "kept_back", "closing"].map(|sum| amount(&statement, sum));
    assert_eq!(foots, ["575.30", "0.00", "491.00", "49.10", "0.00", "1115.40"]);
    assert_eq!(amount(&statement["year_to_date"], "added"), "101.40");
}

/// The limit of 29 CFR 531.36 as the Department of Labor's figures have it: 232.50 for 30 hours where the minimum is
/// 7.25 leaves 15.00 for tools; board at reasonable cost may go below it.
#[test]
fn charges_stop_at_the_minimum_and_go_on_next_week() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let peeler = Peeler::hired(&outfit, "232.50");
    agree_on_wages(&outfit, json!({"minimum_an_hour": "7.25"}));
    peeler.peels(1, "2026-06-03", 1);
    for day in ["01", "02", "03"] {
        peeler.works(&format!("2026-06-{day}"), "10", false);
    }
    let charge = |kind: &str, amount: &str, cuts: bool| {
        let charge = json!({"worker_id": peeler.worker, "dated": "2026-06-05", "kind": kind, "says": kind,
                            "amount": amount, "cuts_into_minimum": cuts});
        outfit.bookkeeper.post("/v1/charges", &charge).expect(201)
    };
    let _tools = charge("tools", "24.00", false);
    let _board = charge("board", "40.00", true);
    let posted = outfit.settle("2026-06-06");
    let pay = peeler.pay(&posted);
    let kept: Vec<_> = pay["take_offs"]
        .as_array()
        .expect("what is kept back")
        .iter()
        .map(|one| (one["charge_kind"].as_str(), amount(one, "taken"), amount(one, "carried")))
        .collect();
    assert_eq!(kept, [(Some("tools"), "15.00", "9.00"), (Some("board"), "40.00", "0.00")]);
    assert_eq!((amount(&pay, "protected"), amount(&pay, "total")), ("217.50", "177.50"));

    app.clock.set("2026-06-15T13:00:00Z".parse().unwrap());
    peeler.peels(2, "2026-06-10", 1);
    let second = outfit.settle("2026-06-13");
    let pay = peeler.pay(&second);
    assert_eq!((amount(&pay["take_offs"][0], "taken"), amount(&pay, "total")), ("9.00", "223.50"));
}

/// A short week is made up to the guarantee, then to the minimum; hours that come late make the draft out of date.
#[test]
fn make_up_and_drafts_that_hours_overtake() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let peeler = Peeler::hired(&outfit, "245.50");
    agree_on_wages(&outfit, json!({"guarantee_an_hour": "5.50", "overtime": {"after_hours": "40"}}));
    peeler.peels(1, "2026-06-03", 1);
    for (day, hours) in [("01", "10"), ("02", "10"), ("03", "10"), ("04", "10")] {
        peeler.works(&format!("2026-06-{day}"), hours, false);
    }
    let week = json!({"week_ends_on": "2026-06-06"});
    let draft = outfit.bookkeeper.post("/v1/settlements", &week).expect(201);
    assert_eq!(amount(&peeler.pay(&draft), "added"), "0.00");
    peeler.works("2026-06-05", "6", false);
    let stale = outfit.bookkeeper.put(&format!("/v1/settlements/{}/posting", id(&draft, "settlement_id")));
    assert_eq!((stale.status, stale.body["code"].as_str()), (409, Some("draft-out-of-date")));
    // The older figures of 29 CFR 778.111(b), from memory: 46 hours at 5.50 are 253.00, so 7.50 is made up, and half of
    // 5.50 for 6 hours is 16.50.
    let pay = peeler.pay(&outfit.settle("2026-06-06"));
    let added: Vec<_> = pay["supplements"]
        .as_array()
        .expect("supplements")
        .iter()
        .map(|one| (one["supplement"].as_str(), amount(one, "amount")))
        .collect();
    assert_eq!(added, [(Some("guarantee_make_up"), "7.50"), (Some("overtime_premium"), "16.50")]);
    assert_eq!(amount(&pay, "total"), "269.50");
}
