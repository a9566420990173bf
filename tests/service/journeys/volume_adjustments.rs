//! A check scale's difference in the pay: posted, explained, stated again, taken back.

use serde_json::{Value, json};
use tests::TestApp;
use wire::Code;

use super::several_weeks::cents;
use crate::check_scales::{Yard, again, inches, two_percent};
use crate::world::text;

fn felling(settlement: &Value) -> Vec<&Value> {
    settlement["lines"].as_array().expect("lines").iter().filter(|line| line["task"] == "felling").collect()
}

/// The journal's two sides are equal, and what all payees have comes to this many cents for the fellers.
fn trial_balance(yard: &Yard) {
    let balance = yard.outfit.bookkeeper.get("/v1/journal/trial-balance").expect(200);
    assert_eq!(balance["debits"], balance["credits"], "{balance:#}");
}

/// What both sawyers have coming, together.
fn owed(yard: &Yard) -> i64 {
    let balances = yard.outfit.bookkeeper.get("/v1/balances").expect(200);
    let payees = balances["items"].as_array().expect("payees");
    let sawyers =
        payees.iter().filter(|one| one["payee"]["name"].as_str().is_some_and(|name| name.contains("sawyer")));
    sawyers.map(|one| cents(&one["balance"])).sum()
}

/// 2,000 board feet in the first week and 1,000 in the second, at 10 a thousand; the check has 0.9 of the scale.
struct Checked {
    yard: Yard,
    first: String,
    path: String,
}

fn checked(app: &TestApp) -> Checked {
    let yard = Yard::new(app, Some(two_percent()));
    let first = yard.post(1, "2026-06-03", &[50, 50, 50, 50]);
    let _second = yard.post(2, "2026-06-10", &[50, 50]);
    let _week = yard.outfit.settle("2026-06-06");
    let path = yard.file(&[again(&first, 1, &inches(45)), again(&first, 2, &inches(45))]);
    app.clock.set("2026-06-16T13:00:00Z".parse().expect("a time"));
    Checked { yard, first, path }
}

fn adjust(checked: &Checked) -> Value {
    let path = format!("{}/adjustments", checked.path);
    checked.yard.outfit.bookkeeper.post(&path, &json!({"reason": "ten percent too much"})).expect(201)
}

#[test]
fn an_adjustment_is_paid_in_the_open_week_and_explained() {
    let app = TestApp::start();
    let checked = checked(&app);
    let (yard, outfit) = (&checked.yard, &checked.yard.outfit);
    assert_eq!(owed(yard), 2000);
    let adjusted = adjust(&checked);
    let quantities: Vec<_> = adjusted["quantities"]
        .as_array()
        .expect("quantities")
        .iter()
        .map(|one| (text(one, "scaled_on"), text(one, "held"), text(one, "ratio"), text(one, "quantity")))
        .collect();
    let day = |day: &str, held: &str, quantity: &str| {
        (day.to_owned(), held.to_owned(), "9/10".to_owned(), quantity.to_owned())
    };
    assert_eq!(quantities, [day("2026-06-03", "2000", "-200"), day("2026-06-10", "1000", "-100")]);

    let posted = outfit.settle("2026-06-13");
    let lines = felling(&posted);
    let figures: Vec<_> = lines
        .iter()
        .map(|line| (text(line, "kind"), text(line, "quantity"), cents(&line["amount"])))
        .collect();
    assert_eq!(
        figures,
        [("adjustment".to_owned(), "-200".to_owned(), -200), ("regular".to_owned(), "900".to_owned(), 900)]
    );
    for line in &lines {
        assert_eq!(line["entered_adjustments"][0]["volume_adjustment_id"], adjusted["volume_adjustment_id"]);
        assert!(line.get("withdrawn_adjustments").is_none());
    }
    assert_eq!(owed(yard), 2700);
    trial_balance(yard);

    let id = text(&posted, "settlement_id");
    let explain = |line: &Value| {
        outfit.contractor.get(&format!("/v1/settlements/{id}/lines/{}", line["number"])).expect(200)
    };
    let regular = explain(lines[1]);
    assert_eq!(regular["tickets"].as_array().map(Vec::len), Some(1), "the tickets are there as ever");
    let explained = &regular["adjustments"][0];
    assert_eq!((&explained["quantity"], &explained["withdrawn"]), (&json!("-100"), &json!(false)));
    let says = explained["says"].to_string();
    assert!(
        says.contains("1000 held × (9/10 - 1) = -100") && says.contains("ten percent too much"),
        "{says}"
    );
    assert!(says.contains("Check scaler") && says.contains("Yard scaler"), "{says}");
    let adjustment = explain(lines[0]);
    assert_eq!(
        (&adjustment["adjustments"][0]["quantity"], &adjustment["tickets"]),
        (&json!("-200"), &json!([]))
    );

    let statements = outfit.bookkeeper.get(&format!("/v1/statements?settlement_id={id}")).expect(200);
    let sawyer = statements["items"].as_array().expect("statements").iter();
    let sawyer = sawyer.clone().find(|one| one["payee"]["name"] == "First sawyer").expect("his");
    let statement =
        outfit.bookkeeper.get(&format!("/v1/statements/{}", text(sawyer, "statement_id"))).expect(200);
    assert_eq!((cents(&statement["opening"]), cents(&statement["earned"])), (1000, 350));
    let paper = client::text::statement(&serde_json::from_value(statement).expect("a statement"));
    assert!(paper.contains("after a check scale"), "{paper}");
}

#[test]
fn a_later_correction_is_stated_again_beside_the_adjustment() {
    let app = TestApp::start();
    let checked = checked(&app);
    let (yard, outfit) = (&checked.yard, &checked.yard.outfit);
    let _adjusted = adjust(&checked);
    let _second = outfit.settle("2026-06-13");
    // Of four logs one was never there.
    let right = yard.on_landing(3, "2026-06-03", &[inches(50), inches(50), inches(50)]);
    let sent = json!({"reason": "counted twice", "ticket": right});
    let corrected =
        outfit.scaler.post(&format!("/v1/tickets/{}/corrections", checked.first), &sent).expect(201);
    app.clock.set("2026-06-22T13:00:00Z".parse().expect("a time"));
    let third = outfit.settle("2026-06-20");
    let lines = felling(&third);
    assert_eq!(lines.len(), 1);
    // 1,500 of tickets less the 200 that were filed; 1,800 had been posted.
    assert_eq!(
        (&lines[0]["quantity"], &lines[0]["now_quantity"], &lines[0]["formerly_quantity"]),
        (&json!("-500"), &json!("1300"), &json!("1800"))
    );
    assert!(lines[0].get("entered_adjustments").is_none(), "{:#}", lines[0]);
    assert_eq!(owed(yard), 2200);
    trial_balance(yard);
    // The comparison goes on being with what was checked, and says so; what would be adjusted now is what still stands.
    let shown = outfit.contractor.get(&checked.path).expect(200);
    assert_eq!(shown["corrected_since"], 2);
    assert_eq!(shown["pieces"][0]["corrected_by"], corrected["ticket_id"]);
    assert_eq!(shown["strata"][0]["net_ratio"]["ratio"], "0.9");
    assert_eq!(
        (&shown["strata"][0]["lot_net"], &shown["money"]["lines"][0]["quantity"]),
        (&json!("3000"), &json!("1000"))
    );
    assert!(shown["money"]["says"].to_string().contains("1 of the lot's 2 tickets"), "{shown:#}");
}

#[test]
fn an_adjustment_is_filed_once_and_can_be_taken_back() {
    let app = TestApp::start();
    let checked = checked(&app);
    let (yard, outfit) = (&checked.yard, &checked.yard.outfit);
    let path = format!("{}/adjustments", checked.path);
    let sent = json!({"reason": "ten percent too much"});
    let first = outfit.bookkeeper.post_with_key(&path, &sent, "\"one\"").expect(201);
    assert_eq!(outfit.bookkeeper.post_with_key(&path, &sent, "\"one\"").expect(200), first);
    let problem = outfit.bookkeeper.post(&path, &sent).refuses(Code::AdjustedAlready);
    assert!(
        problem["detail"].as_str().is_some_and(|says| says.contains("ten percent too much")),
        "{problem:#}"
    );
    let _second = outfit.settle("2026-06-13");
    assert_eq!(owed(yard), 2700);
    let back = format!("/v1/volume-adjustments/{}/reversal", text(&first, "volume_adjustment_id"));
    let gone = outfit.bookkeeper.post(&back, &json!({"reason": "the wrong lot"})).expect(201);
    assert_eq!(gone["reversed"]["reason"], "the wrong lot");
    let _again =
        outfit.bookkeeper.post(&back, &json!({"reason": "once more"})).refuses(Code::ReversedAlready);
    app.clock.set("2026-06-22T13:00:00Z".parse().expect("a time"));
    let third = outfit.settle("2026-06-20");
    let lines = felling(&third);
    let amounts: Vec<i64> = lines.iter().map(|line| cents(&line["amount"])).collect();
    assert_eq!(amounts, [200, 100]);
    for line in &lines {
        assert_eq!(line["withdrawn_adjustments"][0]["check_scale_id"], first["check_scale_id"]);
    }
    let explained = outfit
        .contractor
        .get(&format!("/v1/settlements/{}/lines/{}", text(&third, "settlement_id"), lines[0]["number"]))
        .expect(200);
    assert_eq!(explained["adjustments"][0]["withdrawn"], true);
    assert_eq!(owed(yard), 3000);
    trial_balance(yard);
    // And once that is done it can be adjusted anew.
    let _anew = outfit.bookkeeper.post(&path, &sent).expect(201);
    let shown = outfit.contractor.get(&checked.path).expect(200);
    assert_eq!(shown["adjustments"].as_array().map(Vec::len), Some(2));
}

/// Thirds do not end: each day is taken to six decimals, and the money is rounded once for the week.
#[test]
fn an_endless_ratio_is_taken_to_six_decimals_by_the_day() {
    let app = TestApp::start();
    let yard = Yard::new(&app, Some(two_percent()));
    let ticket = yard.post(1, "2026-06-03", &[30]);
    let _more = yard.post(2, "2026-06-04", &[50, 50]);
    let path = yard.file(&[again(&ticket, 1, &inches(40))]);
    let adjusted = yard
        .outfit
        .manager
        .post(&format!("{path}/adjustments"), &json!({"reason": "a third too little"}))
        .expect(201);
    let quantities: Vec<_> =
        adjusted["quantities"].as_array().expect("days").iter().map(|one| text(one, "quantity")).collect();
    assert_eq!(quantities, ["100", "333.333333"]);
    let posted = yard.outfit.settle("2026-06-06");
    let line = felling(&posted)[0];
    // 1,300 + 433.333333 at 10 a thousand: 17.33333333.
    assert_eq!((&line["quantity"], cents(&line["amount"])), (&json!("1733.333333"), 1733));
    assert_eq!(line["kind"], "regular");
}

/// A crew that shares by hours, and a day that a check scale left below nothing once its ticket was void.
#[test]
fn a_day_below_nothing_falls_to_those_who_worked_on_it() {
    let app = TestApp::start();
    let checked = checked(&app);
    let (yard, outfit) = (&checked.yard, &checked.yard.outfit);
    let crews = outfit.manager.get("/v1/crews").expect(200);
    let crew =
        crews["items"].as_array().expect("crews").iter().find(|one| one["crew_id"] == *outfit.felling_crew);
    let shares = crew.expect("the crew")["share_sets"][0]["shares"].as_array().expect("shares").clone();
    let workers: Vec<Value> = shares.iter().map(|share| json!({"worker_id": share["worker_id"]})).collect();
    for (day, hours) in [("2026-06-03", ["6", "2"]), ("2026-06-10", ["4", "4"])] {
        for (worker, hours) in workers.iter().zip(hours) {
            let entry = json!({"worker_id": worker["worker_id"], "worked_on": day, "hours": hours,
                               "what_for": {"kind": "piece_work"}});
            let _filed = outfit.manager.post("/v1/time-entries", &entry).expect(201);
        }
    }
    let set = json!({"effective_from": "2026-06-01", "method": "by_hours", "shares": workers});
    let _set =
        outfit.manager.post(&format!("/v1/crews/{}/share-sets", outfit.felling_crew), &set).expect(201);
    let _adjusted = adjust(&checked);
    let mut void = yard.on_landing(9, "2026-06-03", &[]);
    void["work"] = json!([]);
    let sent = json!({"reason": "another outfit's wood", "ticket": void});
    let _void = outfit.scaler.post(&format!("/v1/tickets/{}/corrections", checked.first), &sent).expect(201);
    let _second = outfit.settle("2026-06-13");
    // 1,000 less 300 at 10 a thousand: the first week stands at -200 board feet.
    assert_eq!(owed(yard), 700);
    trial_balance(yard);
}
