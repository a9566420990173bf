//! What mills owe against what crews earn on the same wood, worked out by hand.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::Code;

use super::several_weeks::cents;

fn margin(outfit: &Furnished, query: &str) -> Value {
    outfit.contractor.get(&format!("/v1/audit/margin?{query}")).expect(200)
}

const JUNE: &str = "from=2026-06-01&to=2026-06-30";

#[test]
fn both_sides_of_the_same_wood() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    app.clock.set("2026-07-06T13:00:00Z".parse().expect("a time"));
    // Scribner Decimal C, from the outfit's other tests: 16 in by 16 ft is 160, 12 in by 16 ft 80, 20 in by 16 ft 280.
    let rotten = json!({"product": "log", "species": "white pine", "small_diameter_in": ["20"], "length_ft": "16",
                        "defects": [{"kind": "heart_rot", "method": "squared", "width_in": "6",
                                     "height_in": "6", "length_ft": "8"}]});
    let post = |sent: &Value| outfit.scaler.post("/v1/tickets", sent).expect(201);
    let first = post(&ticket(&outfit, 1, "2026-06-03", &[log("16", "16"), log("12", "16")]));
    let second = post(&ticket(&outfit, 2, "2026-06-30", &[rotten]));
    // Delivered, and nobody of ours worked on it.
    let mut bought = ticket(&outfit, 3, "2026-06-10", &[log("12", "16")]);
    bought["work"] = json!([]);
    let _bought = post(&bought);
    // Felled and skidded, and still on the landing.
    let mut kept = ticket(&outfit, 4, "2026-06-11", &[log("16", "16")]);
    kept.as_object_mut().expect("a ticket").remove("delivered_to");
    let _kept = post(&kept);
    // Of the next month.
    let _later = post(&ticket(&outfit, 5, "2026-07-01", &[log("20", "16")]));

    let net = |ticket: &Value| {
        let all = ticket["scaled"].as_array().expect("scaled").iter();
        let of_mill = all.clone().find(|one| one["contract_title"] == "Logs delivered").expect("the mill's");
        of_mill["accruals"][0]["quantity"].as_str().expect("a quantity").parse::<i64>().expect("whole")
    };
    assert_eq!(net(&first), 240);
    let net = 240 + net(&second) + 80;
    let shown = margin(&outfit, JUNE);
    let row = &shown["rows"][0];
    assert_eq!((&row["job_name"], &row["mill_name"]), (&json!("Invented tract"), &json!("Invented mill")));
    assert_eq!((row["tickets"].as_i64(), row["tickets_without_crew_cost"].as_i64()), (Some(3), Some(1)));
    assert_eq!(row["tickets_without_price"], 0);
    assert_eq!(
        row["volumes"],
        json!([{"unit": "board_foot", "pieces": 4, "culls": 0, "gross": "600", "net": net.to_string()}])
    );
    // So many cents for so many board feet, for a thousand of them, halves up.
    let on_thousand = |cents: i64| {
        let each = (2 * cents * 1000 + net) / (2 * net);
        format!("{}.{:02}", each / 100, each % 100)
    };
    // The mill pays 40 a thousand net; the fellers 10.01 a thousand gross of 520; the teamster 2.50 for each of 2 turns.
    assert_eq!(cents(&row["owed"]), net * 4);
    assert_eq!(
        row["tasks"],
        json!([{"task": "felling", "exact": "5.2052", "cost": {"amount": "5.21", "currency": "USD"},
                "per_unit": {"amount": on_thousand(521), "currency": "USD"}},
               {"task": "skidding", "exact": "5", "cost": {"amount": "5.00", "currency": "USD"},
                "per_unit": {"amount": on_thousand(500), "currency": "USD"}}])
    );
    assert_eq!(cents(&row["cost"]), 1021);
    assert_eq!(cents(&row["margin"]), net * 4 - 1021);
    assert_eq!((&row["per_unit"]["unit"], &row["per_unit"]["per"]), (&json!("board_foot"), &json!(1000)));
    assert_eq!(cents(&row["per_unit"]["owed"]), 4000);
    // 1021 cents for so many board feet, for a thousand of them, halves up.
    assert_eq!(cents(&row["per_unit"]["cost"]), (2 * 1_021_000 + net) / (2 * net));
    assert_eq!(cents(&row["per_unit"]["margin"]), (2 * 1000 * (net * 4 - 1021) + net) / (2 * net));
    assert_eq!(
        shown["not_delivered"],
        json!([{"job_id": outfit.job, "job_name": "Invented tract", "tickets": 1,
                "cost": {"amount": "4.10", "currency": "USD"}}])
    );
    assert!(shown["leaves_out"].as_str().is_some_and(|says| says.contains("hours")), "{shown:#}");
    for (all, own) in [("owed", "owed"), ("cost", "cost"), ("margin", "margin")] {
        assert_eq!(shown[all], row[own]);
    }
}

#[test]
fn corrected_tickets_count_once_and_void_ones_not_at_all() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let post = |number| {
        let sent = ticket(&outfit, number, "2026-06-03", &[log("16", "16")]);
        let accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
        accepted["ticket_id"].as_str().expect("an id").to_owned()
    };
    let correct = |wrong: &str, number, pieces: &[Value]| {
        let right = ticket(&outfit, number, "2026-06-03", pieces);
        let right = json!({"reason": "scaled anew", "ticket": right});
        let _right = outfit.scaler.post(&format!("/v1/tickets/{wrong}/corrections"), &right).expect(201);
    };
    let (first, second) = (post(1), post(2));
    correct(&first, 3, &[log("12", "16")]);
    correct(&second, 4, &[]);
    let row = &margin(&outfit, JUNE)["rows"][0];
    assert_eq!((row["tickets"].as_i64(), row["volumes"][0]["net"].as_str()), (Some(1), Some("80")));
    assert_eq!((cents(&row["owed"]), cents(&row["cost"])), (320, 80 + 250));
    assert_eq!(cents(&row["margin"]), -10);
}

#[test]
fn wood_that_no_mill_pays_for_yet_is_counted_and_not_guessed() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mill =
        outfit.manager.post("/v1/mills", &json!({"name": "Upper mill"})).expect(201)["mill_id"].clone();
    let mut sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]);
    sent["delivered_to"] = mill;
    let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let shown = margin(&outfit, JUNE);
    let row = &shown["rows"][0];
    assert_eq!((&row["tickets_without_price"], &row["volumes"]), (&json!(1), &json!([])));
    assert!(row.get("per_unit").is_none(), "{row:#}");
    assert_eq!((cents(&row["owed"]), cents(&row["margin"])), (0, -410));
}

/// What is docked is cost that the crew does not cause.
#[test]
fn dockage_is_taken_off_the_cost() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    app.clock.set("2026-07-06T13:00:00Z".parse().expect("a time"));
    let terms = json!({
        "effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}},
        "rates": [
            {"name": "felling", "task": "felling", "product": "log", "unit": "thousand_board_feet",
             "basis": "gross", "price": "10"},
            {"name": "short logs", "kind": "dockage", "task": "felling", "product": "log", "unit": "piece",
             "price": "0.10", "covers": {"length_ft": {"below": "16"}}}
        ]
    });
    let path = format!("/v1/contracts/{}/terms", outfit.felling_contract);
    let _filed = outfit.bookkeeper.post(&path, &terms).expect(201);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16"), log("16", "12")]);
    let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    // Printed cells of Scribner Decimal C: 160 and 120 board feet, 2.80 in all, less 0.10 for the short one.
    let shown = margin(&outfit, JUNE);
    let felling = &shown["rows"][0]["tasks"][0];
    assert_eq!((&felling["task"], cents(&felling["cost"])), (&json!("felling"), 270), "{felling:#}");
}

#[test]
fn days_without_wood_and_other_jobs() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    app.clock.set("2027-01-04T13:00:00Z".parse().expect("a time"));
    let sent = ticket(&outfit, 1, "2026-12-31", &[log("16", "16")]);
    let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    for (query, rows) in [
        ("from=2026-06-01&to=2026-06-30".to_owned(), 0),
        ("from=2026-12-31&to=2026-12-31".to_owned(), 1),
        ("from=2026-12-31&to=2027-01-01".to_owned(), 1),
        ("from=2027-01-01&to=2027-12-31".to_owned(), 0),
        (format!("from=2026-01-01&to=2026-12-31&job_id={}", outfit.job), 1),
        ("from=2026-01-01&to=2026-12-31&job_id=01977000-0000-7000-8000-000000000099".to_owned(), 0),
    ] {
        let shown = margin(&outfit, &query);
        assert_eq!(shown["rows"].as_array().map(Vec::len), Some(rows), "{query}: {shown:#}");
        assert_eq!(rows == 0, shown["margin"]["amount"] == "0.00", "{query}");
    }
    let path = "/v1/audit/margin?from=2026-06-01&to=2026-06-30";
    let _problem = outfit.mill.get(path).refuses(Code::RoleNotAllowed);
    let _problem = outfit.scaler.get(path).refuses(Code::RoleNotAllowed);
}
