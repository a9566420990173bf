//! A week: tickets posted, settled, explained, audited; corrected and late ones adjusted in the next.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::Code;

/// The lines of a settlement as (kind, task, quantity, amount).
fn lines(settlement: &Value) -> Vec<(String, String, String, String)> {
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    settlement["lines"]
        .as_array()
        .expect("lines")
        .iter()
        .map(|line| {
            (
                text(&line["kind"]),
                text(&line["task"]),
                text(&line["quantity"]),
                text(&line["amount"]["amount"]),
            )
        })
        .collect()
}

fn line<'a>(settlement: &'a Value, task: &str) -> &'a Value {
    let lines = settlement["lines"].as_array().expect("lines");
    lines.iter().find(|line| line["task"] == task).unwrap_or_else(|| panic!("no {task} in {settlement:#}"))
}

#[test]
fn tickets_become_pay_and_pay_leads_back_to_sticks() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    // Printed cells of Scribner Decimal C: 12 in × 16 ft is 8 tens, 16 in × 16 ft is 16 tens.
    let rot = json!({"kind": "heart_rot", "method": "squared", "width_in": "6", "height_in": "6", "length_ft": "8"});
    let mut rotten = log("16", "16");
    rotten["defects"] = json!([rot]);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("12", "16"), rotten]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    assert_eq!(accepted["state"], "standing");
    assert_eq!(accepted["scaled"].as_array().map(Vec::len), Some(3), "{accepted:#}");
    assert!(accepted.get("unpriced").is_none(), "{accepted:#}");

    let posted = outfit.settle("2026-06-06");
    // 240 board feet gross at 10.01 a thousand: 2.4024; one turn at 2.50; 6·6·8/15 = 19.2 → 20 off: 220 net at 40.
    let expected = [("felling", "240", "2.40"), ("skidding", "1", "2.50"), ("delivery", "220", "8.80")];
    for (task, quantity, amount) in expected {
        let line = line(&posted, task);
        assert_eq!(line["kind"], "regular");
        assert_eq!(line["quantity"], quantity, "{task}");
        assert_eq!(line["amount"]["amount"], amount, "{task}");
    }
    assert_eq!(posted["paid_to_crews"]["amount"], "4.90");
    assert_eq!(posted["owed_by_mills"]["amount"], "8.80");

    let felling = line(&posted, "felling");
    let shares: Vec<_> =
        felling["by_payee"].as_array().expect("payees").iter().map(|one| &one["amount"]["amount"]).collect();
    assert_eq!(shares, ["1.20", "1.20"]);

    let path =
        format!("/v1/settlements/{}/lines/{}", posted["settlement_id"].as_str().unwrap(), felling["number"]);
    let explained = outfit.contractor.get(&path).expect(200);
    assert_eq!(explained["exact_amount"], "2.4024");
    assert_eq!(explained["tickets"][0]["ticket"]["number"], 1);
    let sticks = explained["tickets"][0]["pieces"].as_array().expect("sticks");
    assert_eq!((sticks[0]["gross"].as_str(), sticks[1]["gross"].as_str()), (Some("80"), Some("160")));
    assert!(!sticks[1]["working"].as_array().expect("working").is_empty());

    let audit =
        outfit.contractor.get("/v1/audit/volume-against-pay?from=2026-06-01&to=2026-06-06").expect(200);
    assert_eq!(audit["earned_by_crews"]["amount"], "4.90");
    assert_eq!(audit["owed_by_mills"]["amount"], "8.80");
    for contract in audit["contracts"].as_array().expect("contracts") {
        assert_eq!(contract["open"]["amount"], "0.00", "{contract:#}");
    }
}

#[test]
fn statements_foot_and_carry_over() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]);
    let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let first = outfit.settle("2026-06-06");
    app.clock.set("2026-06-15T13:00:00Z".parse().unwrap());
    let sent = ticket(&outfit, 2, "2026-06-10", &[log("20", "16")]);
    let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let second = outfit.settle("2026-06-13");
    let statements = |settlement: &Value| {
        let id = settlement["settlement_id"].as_str().expect("an id");
        outfit.bookkeeper.get(&format!("/v1/statements?settlement_id={id}")).expect(200)["items"].clone()
    };
    let opened: Vec<_> =
        statements(&second).as_array().unwrap().iter().map(|one| one["opening"].clone()).collect();
    let closed: Vec<_> =
        statements(&first).as_array().unwrap().iter().map(|one| one["closing"].clone()).collect();
    assert_eq!(opened, closed);
    // 160 board feet at 10.01 a thousand is 1.6016: 1.60, and 0.80 to each of two sawyers.
    let one = &statements(&first)[0];
    let id = one["statement_id"].as_str().unwrap();
    let whole = outfit.bookkeeper.get(&format!("/v1/statements/{id}")).expect(200);
    assert_eq!(whole["earned"]["amount"], "0.80");
    assert_eq!(whole["lines"][0]["line_amount"]["amount"], "1.60");
    assert!(whole["caution"].as_str().unwrap().contains("not legal advice"));
}

#[test]
fn a_correction_and_a_late_ticket_come_as_adjustments() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let wrong = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]);
    let wrong = outfit.scaler.post("/v1/tickets", &wrong).expect(201);
    let _posted = outfit.settle("2026-06-06");

    let right = ticket(&outfit, 2, "2026-06-03", &[log("12", "16")]);
    let path = format!("/v1/tickets/{}/corrections", wrong["ticket_id"].as_str().unwrap());
    let correction = json!({"reason": "read the wrong end", "ticket": right});
    let correction = outfit.bookkeeper.post(&path, &correction).expect(201);
    assert_eq!(correction["corrects"], wrong["ticket_id"]);
    let late = ticket(&outfit, 3, "2026-06-04", &[log("14", "16")]);
    let _late = outfit.scaler.post("/v1/tickets", &late).expect(201);

    app.clock.set("2026-06-15T13:00:00Z".parse().unwrap());
    let posted = outfit.settle("2026-06-13");
    // Felling stood at 160 and stands at 80 + 110: 1.90 in all, of which 1.60 was paid.
    let felling = line(&posted, "felling");
    assert_eq!(felling["kind"], "adjustment");
    assert_eq!(felling["week_ends_on"], "2026-06-06");
    assert_eq!(
        (felling["now_quantity"].as_str(), felling["now_amount"]["amount"].as_str()),
        (Some("190"), Some("1.90"))
    );
    assert_eq!(felling["amount"]["amount"], "0.30");
    assert_eq!(felling["withdrawn"][0]["number"], 1);
    let entered: Vec<_> =
        felling["entered"].as_array().unwrap().iter().map(|one| one["number"].as_i64()).collect();
    assert_eq!(entered, [Some(2), Some(3)]);
    // One more turn was skidded.
    assert_eq!(line(&posted, "skidding")["amount"]["amount"], "2.50");

    let old = outfit.scaler.get(&format!("/v1/tickets/{}", wrong["ticket_id"].as_str().unwrap())).expect(200);
    assert_eq!(old["state"], "corrected");
    assert_eq!(old["corrected_by"], correction["ticket_id"]);
    let audit =
        outfit.contractor.get("/v1/audit/volume-against-pay?from=2026-06-01&to=2026-06-13").expect(200);
    for contract in audit["contracts"].as_array().unwrap() {
        assert_eq!(contract["open"]["amount"], "0.00", "{contract:#}");
    }
}

#[test]
fn a_correction_without_pieces_takes_everything_back() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let wrong = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]);
    let wrong = outfit.scaler.post("/v1/tickets", &wrong).expect(201);
    let _posted = outfit.settle("2026-06-06");
    let void = ticket(&outfit, 2, "2026-06-03", &[]);
    let path = format!("/v1/tickets/{}/corrections", wrong["ticket_id"].as_str().unwrap());
    let _void = outfit.scaler.post(&path, &json!({"reason": "scaled twice", "ticket": void})).expect(201);
    app.clock.set("2026-06-15T13:00:00Z".parse().unwrap());
    let posted = outfit.settle("2026-06-13");
    assert_eq!(
        lines(&posted),
        [
            ("adjustment".into(), "felling".into(), "-160".into(), "-1.60".into()),
            ("adjustment".into(), "skidding".into(), "-1".into(), "-2.50".into()),
            ("adjustment".into(), "delivery".into(), "-160".into(), "-6.40".into()),
        ]
    );
}

#[test]
fn unpriced_pieces_hold_up_the_week_until_covered_or_set_aside() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let pole = json!({"product": "pole", "species": "cedar", "length_ft": "30"});
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16"), pole.clone()]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    assert_eq!(accepted["unpriced"].as_array().map(Vec::len), Some(2), "felling and delivery: {accepted:#}");
    let draft = outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": "2026-06-06"})).expect(201);
    assert_eq!(draft["unpriced"].as_array().map(Vec::len), Some(2));
    let posting = format!("/v1/settlements/{}/posting", draft["settlement_id"].as_str().unwrap());
    let refused = outfit.bookkeeper.put(&posting);
    assert_eq!(refused.refused(Code::UnpricedPieces)["errors"].as_array().map(Vec::len), Some(2));

    // The felling is covered by better terms, the delivery is set aside.
    let terms = json!({
        "effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}},
        "rates": [
            {"name": "felling logs", "task": "felling", "product": "log", "unit": "thousand_board_feet",
             "basis": "gross", "price": "10.01"},
            {"name": "felling poles", "task": "felling", "product": "pole", "unit": "linear_foot", "price": "0.05"}
        ]
    });
    let path = format!("/v1/contracts/{}/terms", outfit.felling_contract);
    let filed = outfit.bookkeeper.post(&path, &terms).expect(201);
    assert_eq!(filed["tickets_worked_out_again"], 1);
    let path = format!("/v1/tickets/{}/set-asides", accepted["ticket_id"].as_str().unwrap());
    let aside = json!({"task": "delivery", "piece": 2, "reason": "kept for the camp"});
    let _aside = outfit.bookkeeper.post(&path, &aside).expect(201);

    let stale = outfit.bookkeeper.put(&posting);
    let _stale = stale.refused(Code::DraftOutOfDate);
    let posted = outfit.settle("2026-06-06");
    let poles =
        posted["lines"].as_array().unwrap().iter().find(|line| line["rate_name"] == "felling poles").unwrap();
    assert_eq!(poles["amount"]["amount"], "1.50");
}

#[test]
fn a_ticket_before_any_contract_waits_for_one() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let crew = outfit.manager.post("/v1/crews", &json!({"name": "New crew"})).expect(201);
    let crew = crew["crew_id"].as_str().unwrap();
    let mut sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]);
    sent["work"] = json!([{"task": "felling", "crew_id": crew}]);
    let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    assert_eq!(accepted["unpriced"][0]["reason"]["code"], "no_contract");
    let contract = json!({
        "title": "New crew felling", "job_id": outfit.job, "party": {"crew_id": crew},
        "terms": {"effective_from": "2026-06-01", "practice": {"log": {"rule": "doyle"}},
                  "rates": [{"name": "felling", "task": "felling", "product": "log",
                             "unit": "thousand_board_feet", "basis": "gross", "price": "10"}]}
    });
    let _contract = outfit.bookkeeper.post("/v1/contracts", &contract).expect(201);
    let shown =
        outfit.scaler.get(&format!("/v1/tickets/{}", accepted["ticket_id"].as_str().unwrap())).expect(200);
    assert!(shown.get("unpriced").is_none(), "{shown:#}");
    // Doyle, 16 in by 16 ft: (16 - 4)² = 144.
    let doyle =
        shown["scaled"].as_array().unwrap().iter().find(|one| one["contract_title"] == "New crew felling");
    assert_eq!(doyle.unwrap()["accruals"][0]["quantity"], "144");
    // And it cannot be settled before somebody says how the crew divides its pay.
    let refused = outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": "2026-06-06"}));
    let _refused = refused.refused(Code::NoShareSet);
}

#[test]
fn weeks_are_posted_once_in_order_and_when_they_are_over() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    for (number, day) in [(1, "2026-06-03"), (2, "2026-06-08")] {
        let sent = ticket(&outfit, number, day, &[log("16", "16")]);
        let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    }
    let draft = |week: &str| outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": week}));
    let posting =
        |draft: Value| format!("/v1/settlements/{}/posting", draft["settlement_id"].as_str().unwrap());
    let _wrong_day = draft("2026-06-05").refused(Code::NotAWeekEnd);
    let second = posting(draft("2026-06-13").expect(201));
    let _too_early = outfit.bookkeeper.put(&second).refused(Code::WeekNotOver);
    app.clock.set("2026-06-15T13:00:00Z".parse().unwrap());
    let _out_of_order = outfit.bookkeeper.put(&second).refused(Code::EarlierWeekOpen);
    let first = posting(draft("2026-06-06").expect(201));
    let also_first = posting(draft("2026-06-06").expect(201));
    let _posted = outfit.bookkeeper.put(&first).expect(201);
    let again = outfit.bookkeeper.put(&first);
    assert_eq!((again.status, again.header("replayed")), (200, Some("true")));
    let _closed = outfit.bookkeeper.put(&also_first).refused(Code::WeekPosted);
    let _closed = draft("2026-06-06").refused(Code::WeekPosted);
    // The draft of the second week still held the first week's work.
    let _stale = outfit.bookkeeper.put(&second).refused(Code::DraftOutOfDate);
    let posted = outfit.settle("2026-06-13");
    assert_eq!(posted["state"], "posted");
}

/// Divisions of pay filed for days past change who gets what, and nothing else.
#[test]
fn shares_filed_for_days_past_move_the_pay() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("20", "16"), log("20", "16"), log("20", "16")]);
    let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let posted = outfit.settle("2026-06-06");
    // 840 board feet at 10.01: 8.4084, 8.41; half a cent each way: 4.21 and 4.20.
    let felling = line(&posted, "felling");
    let members: Vec<_> =
        felling["by_payee"].as_array().unwrap().iter().map(|one| one["payee"]["worker_id"].clone()).collect();
    let set = json!({"effective_from": "2026-06-01", "shares": [
        {"worker_id": members[0], "parts": "3"}, {"worker_id": members[1], "parts": "1"}]});
    let _filed =
        outfit.bookkeeper.post(&format!("/v1/crews/{}/share-sets", outfit.felling_crew), &set).expect(201);
    app.clock.set("2026-06-15T13:00:00Z".parse().unwrap());
    let posted = outfit.settle("2026-06-13");
    let amounts: Vec<_> = posted["lines"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| line["amount"]["amount"].as_str().unwrap())
        .collect();
    assert_eq!(posted["paid_to_crews"]["amount"], "0.00");
    assert!(amounts.contains(&"8.41") && amounts.contains(&"-8.41"), "{amounts:?}");
    let id = posted["settlement_id"].as_str().unwrap();
    let statements = outfit.bookkeeper.get(&format!("/v1/statements?settlement_id={id}")).expect(200);
    let earned = |worker: &Value| {
        statements["items"]
            .as_array()
            .unwrap()
            .iter()
            .find(|one| one["payee"]["worker_id"] == *worker)
            .unwrap()["earned"]["amount"]
            .clone()
    };
    // 3/4 of 8.41 is 6.3075: 6.31; he had 4.21.
    assert_eq!((earned(&members[0]), earned(&members[1])), (json!("2.10"), json!("-2.10")));
}
