//! Ranked piles: scaled by the cord under one contract, by the piece under another, settled and explained.

use serde_json::{Value, json};
use tests::{Actor, Furnished, TestApp, ticket};
use wire::Code;

/// A pile of sticks of 4 feet and a few inches, 4 feet high.
fn pile(length_ft: &str, stick_length_in: &str, loose_percent: Option<&str>) -> Value {
    let defects: Vec<Value> = loose_percent
        .into_iter()
        .map(|percent| {
            json!({"kind": "loosely_ranked", "method": "estimate", "percent": percent, "reason": "gaps at both ends"})
        })
        .collect();
    json!({"product": "ranked_pile", "species": "black spruce", "length_ft": length_ft,
           "heights": [{"feet": "4", "inches": "2"}, {"feet": "3", "inches": "10"}],
           "stick_length_ft": "4", "stick_length_in": stick_length_in, "defects": defects})
}

/// A pile of 8 foot sticks, which the contract pays another price for.
fn long_sticks() -> Value {
    let mut pile = pile("4", "0", None);
    pile["stick_length_ft"] = json!("8");
    pile
}

fn cord_practice() -> Value {
    json!({"ranked_pile": {"unit": "cord", "estimates": "allowed",
        "nominal_sticks": {"length_ft": "4", "most_trim_in": "4", "otherwise": "as_measured"}}})
}

fn cord_rate(name: &str, task: &str, basis: &str, price: &str, band: Value) -> Value {
    json!({"name": name, "task": task, "product": "ranked_pile", "unit": "cord", "basis": basis, "price": price,
           "covers": {"length_ft": band}})
}

/// New terms from the beginning of June: felling by the cord on gross scale by the length of the sticks, and the mill
/// pays for what stands sound.
fn file_terms(outfit: &Furnished) {
    let file = |contract: &str, practice: Value, rates: Value| {
        let terms = json!({"effective_from": "2026-06-01", "practice": practice, "rates": rates});
        let _filed = outfit.bookkeeper.post(&format!("/v1/contracts/{contract}/terms"), &terms).expect(201);
    };
    let felling = json!([
        cord_rate("four foot wood", "felling", "gross", "6.50", json!({"below": "6"})),
        cord_rate("eight foot wood", "felling", "gross", "5.25", json!({"from": "6"}))
    ]);
    file(&outfit.felling_contract, cord_practice(), felling);
    let listed = outfit.mill.get("/v1/contracts").expect(200);
    let mill = listed["items"][0]["contract_id"].as_str().expect("a text");
    file(
        mill,
        cord_practice(),
        json!([cord_rate("wood at the mill", "delivery", "net", "18", json!({"from": "1"}))]),
    );
}

fn accruals(scaled: &Value) -> Vec<(&str, &str)> {
    let accruals = scaled["accruals"].as_array().expect("a list");
    accruals
        .iter()
        .map(|one| (one["rate_name"].as_str().expect("a text"), one["quantity"].as_str().expect("a text")))
        .collect()
}

fn explained(asker: &Actor, posted: &Value, name: &str) -> Value {
    let lines = posted["lines"].as_array().expect("a list");
    let line = lines.iter().find(|line| line["rate_name"] == name).expect("the line");
    let settlement = posted["settlement_id"].as_str().expect("a text");
    asker.get(&format!("/v1/settlements/{settlement}/lines/{}", line["number"])).expect(200)
}

#[test]
fn ranked_piles_are_paid_by_the_cord() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    file_terms(&outfit);
    // 16 × 4 × 4 ÷ 128 = 2; 8.5 × 4 × 4 ÷ 128 = 1.0625, that is 1.06, less 5 in the hundred 0.05; 4 × 4 × 8 ÷ 128 = 1.
    let pieces = [pile("16", "3", None), pile("8.5", "0", Some("5")), long_sticks()];
    let accepted = outfit.scaler.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-03", &pieces)).expect(201);
    assert!(accepted.get("unpriced").is_none(), "{accepted:#}");
    let by_title = |title: &str| {
        let scaled = accepted["scaled"].as_array().unwrap();
        scaled.iter().find(|one| one["contract_title"] == title).unwrap()
    };
    let felling = by_title("Felling");
    assert_eq!(felling["pieces"][0]["unit"], "cord");
    assert_eq!(accruals(felling), [("four foot wood", "3.06"), ("eight foot wood", "1")]);
    assert_eq!(accruals(by_title("Logs delivered")), [("wood at the mill", "4.01")]);

    let posted = outfit.settle("2026-06-06");
    // 3.06 × 6.50 = 19.89 and 5.25; the teamster's turn at 2.50; 4.01 × 18 = 72.18.
    assert_eq!(posted["paid_to_crews"]["amount"], "27.64");
    assert_eq!(posted["owed_by_mills"]["amount"], "72.18");

    let line = explained(&outfit.contractor, &posted, "wood at the mill");
    let says = line["says"].as_str().unwrap();
    assert!(says.starts_with("4.01 cords × 18 = 72.18;"), "{says}");
    let loose = &line["tickets"][0]["pieces"][1];
    assert_eq!((loose["gross"].as_str(), loose["net"].as_str()), (Some("1.06"), Some("1.01")));
    let working: Vec<_> = loose["working"].as_array().unwrap().iter().filter_map(Value::as_str).collect();
    assert!(working.contains(&"8.5 × 4 × 4 ÷ 128 = 1.0625 cords"), "{working:#?}");
}

#[test]
fn a_pile_that_the_contract_does_not_measure_waits() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    file_terms(&outfit);
    let metric = json!({"product": "ranked_pile", "species": "birch", "length_m": "5", "heights_m": ["1.2"],
                        "stick_length_m": "1"});
    let accepted =
        outfit.scaler.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-03", &[metric])).expect(201);
    let unpriced = accepted["unpriced"].as_array().unwrap();
    // Its length is in metres, so the bands of feet find nothing: nobody converts.
    assert_eq!(unpriced.len(), 2, "felling and delivery: {accepted:#}");
    let working = outfit
        .scaler
        .get(&format!("/v1/tickets/{}/working", accepted["ticket_id"].as_str().unwrap()))
        .expect(200);
    let cannot = working["pieces"][0]["cannot"].as_str().unwrap();
    assert!(cannot.contains("length_m is in metres"), "{cannot}");
}

#[test]
fn terms_that_pay_for_piles_measure_them_in_the_same_unit() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let path = format!("/v1/contracts/{}/terms", outfit.felling_contract);
    let rate = |unit: &str| {
        json!({"name": "wood", "task": "felling", "product": "ranked_pile", "unit": unit,
                                   "basis": "net", "price": "6"})
    };
    let terms = |practice: Value, unit: &str| json!({"effective_from": "2026-06-01", "practice": practice, "rates": [rate(unit)]});
    for (practice, unit, says) in [
        (json!({}), "cord", "does not say how a ranked_pile is scaled"),
        (cord_practice(), "stacked_cubic_metre", "measures them by the cord: nothing converts"),
        (
            json!({"ranked_pile": {"unit": "stacked_cubic_metre"}}),
            "cord",
            "measures them by the stacked_cubic_metre",
        ),
    ] {
        let reply = outfit.bookkeeper.post(&path, &terms(practice, unit));
        let problem = reply.refused(Code::TermsClash);
        assert_eq!(problem["errors"][0]["pointer"], "#/rates/0", "{problem:#}");
        let detail = problem["errors"][0]["detail"].as_str().unwrap();
        assert!(detail.contains(says), "{detail}");
    }
    let metric = json!({"ranked_pile": {"unit": "stacked_cubic_metre"}});
    let _filed = outfit.bookkeeper.post(&path, &terms(metric, "stacked_cubic_metre")).expect(201);
}
