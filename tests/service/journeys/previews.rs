//! What terms would have paid, shown without keeping anything.

use serde_json::{Value, json};
use tests::{Furnished, Inspector, TestApp, log, ticket};
use wire::Code;

fn proposal(rates: &Value) -> Value {
    json!({"from": "2026-05-31", "to": "2026-06-13",
           "terms": {"effective_from": "2026-06-04", "practice": {"log": {"rule": "doyle"}}, "rates": rates}})
}

fn felling(name: &str, price: &str, covers: &Value) -> Value {
    json!({"name": name, "task": "felling", "product": "log", "unit": "thousand_board_feet", "basis": "gross",
           "price": price, "covers": covers})
}

/// The rows as (name, now, proposed), each side as quantity and amount.
fn rows(preview: &Value) -> Vec<(&str, [&str; 2], [&str; 2])> {
    let text =
        |value: &'_ Value| -> &'static str { String::leak(value.as_str().expect("a text").to_owned()) };
    let side = |side: &Value| [text(&side["quantity"]), text(&side["amount"]["amount"])];
    let rates = preview["rates"].as_array().expect("rates").iter();
    rates.map(|rate| (text(&rate["rate_name"]), side(&rate["now"]), side(&rate["proposed"]))).collect()
}

#[test]
fn a_preview_is_what_filing_would_pay_and_keeps_nothing() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let database = Inspector::connect(&app.database.url());
    for (number, day) in [(1, "2026-06-03"), (2, "2026-06-04"), (3, "2026-06-06")] {
        let sent = ticket(&outfit, number, day, &[log("16", "16"), log("10", "16")]);
        let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    }
    let path = format!("/v1/contracts/{}/terms", outfit.felling_contract);
    let small = felling("small logs", "12", &json!({"diameter_in": {"below": "12"}}));
    let large = felling("large logs", "10", &json!({"diameter_in": {"from": "12"}}));
    let sent = proposal(&json!([small, large]));
    let before = database.counts();
    let preview = outfit.bookkeeper.post(&format!("{path}/preview"), &sent).expect(200);
    assert_eq!(database.counts(), before);
    // Scribner Decimal C: 160 and 60 (10 in × 16 ft) a ticket; Doyle: 144 and 36. The first ticket is before the terms.
    assert_eq!(
        rows(&preview),
        [
            ("felling logs", ["660", "6.61"], ["220", "2.20"]),
            ("large logs", ["0", "0.00"], ["288", "2.88"]),
            ("small logs", ["0", "0.00"], ["72", "0.86"]),
        ]
    );
    let total = |member: &str| preview[member]["amount"].as_str().expect("a text").to_owned();
    assert_eq!([total("now"), total("proposed"), total("difference")], ["6.61", "5.94", "-0.67"]);
    assert_eq!((&preview["tickets"], &preview["unpriced"]), (&json!(3), &json!([])));

    // Filed, they pay what was shown.
    let _filed = outfit.bookkeeper.post(&path, &sent["terms"]).expect(201);
    let posted = outfit.settle("2026-06-06");
    let paid: Vec<_> = posted["lines"]
        .as_array()
        .expect("lines")
        .iter()
        .filter(|line| line["task"] == "felling")
        .map(|line| line["amount"]["amount"].as_str().expect("a text"))
        .collect();
    assert_eq!(paid.len(), 3);
    assert!(["2.20", "2.88", "0.86"].iter().all(|amount| paid.contains(amount)), "{paid:?}");
}

#[test]
fn a_preview_tells_holes_what_would_be_unpriced_and_refuses_as_filing_does() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    for (number, day) in [(1, "2026-06-03"), (2, "2026-06-05")] {
        let sent = ticket(&outfit, number, day, &[log("13", "16"), log("16", "16")]);
        let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    }
    let path = format!("/v1/contracts/{}/terms/preview", outfit.felling_contract);
    let small = felling("small logs", "12", &json!({"diameter_in": {"below": "12"}}));
    let large = felling("large logs", "10", &json!({"diameter_in": {"from": "14"}}));
    let preview = outfit.bookkeeper.post(&path, &proposal(&json!([small, large]))).expect(200);
    assert_eq!(
        preview["gaps"],
        json!(["no rate between \"small logs\" and \"large logs\": diameter from 12 below 14 in"])
    );
    let unpriced = preview["unpriced"].as_array().expect("unpriced");
    assert_eq!(unpriced.len(), 1);
    assert_eq!((&unpriced[0]["number"], &unpriced[0]["piece"]), (&json!(2), &json!(1)));
    assert_eq!(unpriced[0]["reason"]["code"], "no_rate");

    let large = felling("large logs", "10", &json!({"diameter_in": {"from": "11"}}));
    let refused = outfit.bookkeeper.post(&path, &proposal(&json!([small, large])));
    let problem = refused.refused(Code::TermsClash);
    assert_eq!(problem["errors"][0]["pointer"], "#/terms/rates");
    let says = problem["errors"][0]["detail"].as_str().expect("a text");
    let range = "rates 1 \"small logs\" and 2 \"large logs\" both pay for felling of log: diameter from 11 below 12 in";
    assert!(says.starts_with(range), "{says}");
    let mut backwards = proposal(&json!([]));
    backwards["to"] = json!("2026-05-30");
    assert_eq!(
        outfit.bookkeeper.post(&path, &backwards).refused(Code::WrongForm)["errors"][0]["pointer"],
        "#/to"
    );
    let nowhere = "/v1/contracts/01977000-0000-7000-8000-000000000099/terms/preview";
    let _missing = outfit.bookkeeper.post(nowhere, &proposal(&json!([]))).refused(Code::NotFound);
}

#[test]
fn a_week_waits_for_the_cut_off_on_the_outfits_clock() {
    let app = TestApp::start();
    // Clocks go back in the night before Sunday 1 November 2026: the day has 25 hours, and noon is 17:00 UTC.
    let outfit = json!({"name": "Slow outfit", "currency": "USD", "time_zone": "America/Detroit",
                        "week_ends_on": "saturday", "cut_off_hours": 12});
    let opened = app.operator().post("/v1/outfits", &outfit).expect(201);
    assert_eq!(opened["cut_off_hours"], 12);
    let id = opened["outfit_id"].as_str().expect("an id").parse().expect("an id");
    app.clock.set("2026-11-01T16:59:59Z".parse().expect("a time"));
    let manager = app.member(id, wire::Role::Manager, None);
    let draft = manager.post("/v1/settlements", &json!({"week_ends_on": "2026-10-31"})).expect(201);
    let posting = format!("/v1/settlements/{}/posting", draft["settlement_id"].as_str().expect("an id"));
    let refused = manager.put(&posting);
    let detail = refused.refused(Code::WeekNotOver)["detail"].as_str().expect("a text");
    assert!(detail.contains("can be posted from 2026-11-01T12:00:00-05:00[America/Detroit]"), "{detail}");
    app.clock.set("2026-11-01T17:00:00Z".parse().expect("a time"));
    let _posted = manager.put(&posting).expect(201);
    for hours in [json!(169), json!(-1), json!("12"), json!(1.5)] {
        let mut wrong = outfit.clone();
        wrong["cut_off_hours"] = hours;
        let refused = app.operator().post("/v1/outfits", &wrong);
        assert_eq!(refused.refused(Code::WrongForm)["errors"][0]["pointer"], "#/cut_off_hours");
    }
}
